/**
 * What runs inside a sandboxed child to read a study's two tables and check them, once for all of a
 * run: prints the cohort in columns, for the run's private folder. Neither the report nor its
 * parent process reads a row; this does, shut off like a notebook.
 *
 * Argument: the run's file paths as JSON. Exit code 1 where the cohort cannot be read.
 */
import process from "node:process";

// some packages list the environment while they load, which a sandboxed run may not read
Object.defineProperty(process, "env", { value: {}, configurable: false, writable: false });
Reflect.set(globalThis, Symbol.for("mitral.run"), JSON.parse(Deno.args[0] ?? "{}"));

const { cohortBytes } = await import("../../cohort/kept/mod.ts");
const { readCohort } = await import("../../cohort/mod.ts");
const { openStudy } = await import("../../study/file/mod.ts");

const study = await openStudy();
for (const bytes of cohortBytes(await readCohort(study), study)) {
  for (let sent = 0; sent < bytes.length;) sent += Deno.stdout.writeSync(bytes.subarray(sent));
}
Deno.exit(0);
