/**
 * What runs inside a sandboxed child to complete a cohort's missing covariates: prints the chains,
 * for the run's private folder. Neither the report nor its parent process reads a row; this does,
 * shut off like a notebook.
 *
 * Argument: the run's file paths as JSON. Exit code 1 where the sets cannot be made.
 */
import process from "node:process";

// some packages list the environment while they load, which a sandboxed run may not read
Object.defineProperty(process, "env", { value: {}, configurable: false, writable: false });
Reflect.set(globalThis, Symbol.for("mitral.run"), JSON.parse(Deno.args[0] ?? "{}"));

const { selectEligible } = await import("../../cohort/analysis/mod.ts");
const { readCohort } = await import("../../cohort/mod.ts");
const { completedSets, keptChains } = await import("../../missing/study/mod.ts");
const { openStudy } = await import("../../study/file/mod.ts");

const study = await openStudy();
const eligible = selectEligible(await readCohort(study), study);
// no notebook runs before these are there: all processors are free for them
const many = eligible.n >= 500;
const sets = await completedSets(
  eligible,
  study,
  many ? { workers: navigator.hardwareConcurrency } : {},
);
const bytes = new TextEncoder().encode(keptChains(sets));
for (let sent = 0; sent < bytes.length;) sent += Deno.stdout.writeSync(bytes.subarray(sent));
Deno.exit(0);
