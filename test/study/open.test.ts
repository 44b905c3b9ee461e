import { deepEqual, equal, ok, rejects, throws } from "node:assert/strict";
import { basename, dirname, join, resolve } from "node:path";
import { isPlanned, openStudy, provenance } from "../../lib/study/mod.ts";
import { smallPlan } from "../cohort/small-cohort.ts";

const hook = Symbol.for("mitral.run");
const registry = globalThis as { [key: symbol]: unknown };

async function withStudy(text: string, use: (path: string) => Promise<void>): Promise<void> {
  const folder = await Deno.makeTempDir();
  try {
    const path = join(folder, "study.json");
    await Deno.writeTextFile(path, text);
    await use(path);
  } finally {
    delete registry[hook];
    await Deno.remove(folder, { recursive: true });
  }
}

Deno.test("openStudy() opens the demonstration study where no other is named", async () => {
  const study = await openStudy();
  equal(study.name, "demo");
  equal(basename(study.cohortPath), "patients.csv");
  ok((await Deno.stat(study.cohortPath)).isFile);
  ok((await Deno.stat(study.visitsPath)).isFile);
});

Deno.test("openStudy() takes paths relative to the study file", async () => {
  await withStudy(JSON.stringify(smallPlan), async (path) => {
    const study = await openStudy(path);
    equal(study.cohortPath, join(dirname(path), "patients.csv"));
  });
});

Deno.test("openStudy() takes the runner's study, cohort and visits", async () => {
  await withStudy(JSON.stringify(smallPlan), async (path) => {
    registry[hook] = { study: path, cohort: "elsewhere/a.csv", visits: "elsewhere/b.csv" };
    const study = await openStudy();
    equal(study.name, "small");
    equal(study.cohortPath, resolve("elsewhere/a.csv"));
    equal(study.visitsPath, resolve("elsewhere/b.csv"));
  });
});

Deno.test("openStudy() gives a plan that a notebook cannot alter", async () => {
  await withStudy(JSON.stringify(smallPlan), async (path) => {
    const study = await openStudy(path);
    throws(() => Object.assign(study.groups, { by: "final" }), TypeError);
    throws(() => study.horizons.push(20), TypeError);
  });
});

Deno.test("openStudy() says what is wrong with a file that is no study", async () => {
  await rejects(openStudy("nowhere/study.json"), {
    name: "DataError",
    message: "Cannot open study.json: 1 problem\n  (whole file): no such file",
  });
  await withStudy(
    "{ not JSON",
    (path) =>
      rejects(openStudy(path), { name: "DataError", message: /\(whole file\): not JSON: / }),
  );
});

Deno.test("isPlanned() is true of what the plan asks for", async () => {
  const study = await openStudy();
  ok(isPlanned(study, study.planned[0] ?? ""));
  equal(isPlanned(study, "thought-of-afterwards"), false);
});

Deno.test("provenance() hashes the three files", async () => {
  await withStudy(JSON.stringify(smallPlan), async (path) => {
    const study = await openStudy(path);
    await Deno.writeTextFile(study.cohortPath, "abc");
    await Deno.writeTextFile(study.visitsPath, "");
    const records = await provenance(study);
    deepEqual(records.map(({ role, name, bytes }) => [role, name, bytes]), [
      ["study", "study.json", JSON.stringify(smallPlan).length],
      ["cohort", "patients.csv", 3],
      ["visits", "visits.csv", 0],
    ]);
    // Source: FIPS 180-2, appendix B.1, the message "abc"; the empty message, from memory.
    equal(
      records[1]?.sha256,
      "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
    );
    equal(
      records[2]?.sha256,
      "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855",
    );
  });
});
