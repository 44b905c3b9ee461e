import { deepEqual, rejects } from "node:assert/strict";
import { deidentify } from "../../lib/cohort/deidentify/deidentify.ts";
import { inFolder } from "./identified-cohort.ts";

/** Has the disk full when a text that goes into a file of this name is half written. */
async function withDiskFullAt(name: string, work: () => Promise<void>): Promise<void> {
  const { writeTextFile } = Deno;
  const cut: typeof writeTextFile = async (path, text, options) => {
    if (!String(path).includes(name)) return await writeTextFile(path, text, options);
    await writeTextFile(path, String(text).slice(0, 40), options);
    throw new Error("No space left on device (os error 28)");
  };
  Object.defineProperty(Deno, "writeTextFile", { value: cut, configurable: true });
  try {
    await work();
  } finally {
    Object.defineProperty(Deno, "writeTextFile", { value: writeTextFile, configurable: true });
  }
}

Deno.test("deidentify() leaves no part of a copy where its last file cannot be written", async () => {
  await inFolder(async (_, options) => {
    await Deno.mkdir(options.out);
    await withDiskFullAt("record.json", () => rejects(deidentify(options), /No space left/));
    deepEqual([...Deno.readDirSync(options.out)], []);
    // and the same command can be given again
    await deidentify(options);
    deepEqual(
      [...Deno.readDirSync(options.out)].map(({ name }) => name).sort(),
      ["echo-visits.csv", "patients.csv", "record.json"],
    );
  });
});
