// Runs the tests of many files together in a few isolates: `deno test` gives every file one of its
// own, and loading the library into each took half of the time of all tests. One file is run as
// ever: deno test --allow-all --no-check test/words/odd-phrases.test.ts
// Options go on to `deno test`, written as one word: deno task test --filter=NAME test/words
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { typescriptFiles } from "./source-files.ts";

const root = resolve(import.meta.dirname!, "..");
/** More than there are processors: where one part takes long, the others go on beside it. */
const partsOfProcessor = 3;

/** Every file of tests below a folder, but those that tasks of their own run. */
function testsBelow(folder: string): string[] {
  const apart = join(root, "test", "whole-reports");
  return [...typescriptFiles(folder)]
    .filter((path) => path.endsWith(".test.ts") && !path.endsWith(".long.test.ts"))
    .filter((path) => !path.startsWith(apart))
    .sort();
}

/**
 * Files divided between parts: those that open the demonstration, which takes seconds, between the
 * first few; the others so that files of one folder, alike in cost, go to different parts.
 */
function dividedBetween(files: readonly string[], count: number): string[][] {
  const opens = (file: string) => /\/demo-[a-z]+\.ts"/.test(Deno.readTextFileSync(file));
  const parts: string[][] = Array.from({ length: count }, () => []);
  const few = Math.min(count, navigator.hardwareConcurrency);
  files.filter(opens).forEach((file, i) => parts[i % few]!.push(file));
  for (const file of files.filter((file) => !opens(file))) {
    parts.reduce((least, part) => part.length < least.length ? part : least).push(file);
  }
  return parts;
}

/** A module that loads files one after the other; a file that cannot be loaded is a failed test. */
function partOf(files: readonly string[]): string {
  const loads = files.map((file) => {
    const address = JSON.stringify(pathToFileURL(file).href);
    const name = JSON.stringify(`${file.slice(root.length + 1)} can be loaded`);
    return `await import(${address}).catch((error) => Deno.test(${name}, () => { throw error; }));`;
  });
  return `${loads.join("\n")}\n`;
}

/** Runs the tests below the paths given; the result is the exit code. */
async function together(args: readonly string[]): Promise<number> {
  const options = args.filter((arg) => arg.startsWith("-") && arg !== "--");
  const paths = args.filter((arg) => !arg.startsWith("-")).map((path) => resolve(path));
  const files = (paths.length > 0 ? paths : [join(root, "test")]).flatMap((path) =>
    path.endsWith(".ts") ? [path] : testsBelow(path)
  );
  const count = Math.min(files.length, partsOfProcessor * navigator.hardwareConcurrency);
  const parts = dividedBetween(files, count);
  const folder = await Deno.makeTempDir({ prefix: "mitral-tests-" });
  try {
    for (const [i, part] of parts.entries()) {
      await Deno.writeTextFile(join(folder, `part-${i + 1}.test.ts`), partOf(part));
    }
    const config = join(root, "deno.json");
    const { code } = await new Deno.Command(Deno.execPath(), {
      args: [
        "test",
        "--allow-all",
        "--no-check",
        "--parallel",
        "--reporter=dot",
        `--config=${config}`,
        ...options,
        folder,
      ],
    }).spawn().status;
    return code;
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

if (import.meta.main) Deno.exit(await together(Deno.args));
