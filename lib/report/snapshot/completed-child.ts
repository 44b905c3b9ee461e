/**
 * What runs inside a sandboxed child to complete a cohort's missing covariates: prints the chains,
 * for the run's private folder. Neither the report nor its parent process reads a row; this does,
 * shut off like a notebook.
 *
 * Argument: the run's file paths as JSON. Exit code 1 where the sets cannot be made.
 */
import process from "node:process";
import type { Study } from "../../study/file/mod.ts";

// some packages list the environment while they load, which a sandboxed run may not read
Object.defineProperty(process, "env", { value: {}, configurable: false, writable: false });
Reflect.set(globalThis, Symbol.for("mitral.run"), JSON.parse(Deno.args[0] ?? "{}"));

const { selectEligible } = await import("../../cohort/analysis/mod.ts");
const { readCohort } = await import("../../cohort/mod.ts");
const { runChains } = await import("../../missing/chain/mod.ts");
const { chainText, chainWorkOf, joinedChains } = await import("../../missing/study/mod.ts");
const { openStudy } = await import("../../study/file/mod.ts");

/** The chains to be run, and of how many patients: the cohort itself is let go. */
async function workOf(study: Study) {
  const eligible = selectEligible(await readCohort(study), study);
  return { ...chainWorkOf(eligible, study), n: eligible.n };
}

async function chainsOf(study: Study): Promise<string[]> {
  if (study.missing.method !== "impute") return [];
  const { work, sets, n } = await workOf(study);
  // what it was made of is many times as large, and workers take memory of their own
  Reflect.get(globalThis, "gc")?.();
  const all = Array.from({ length: sets }, (_, set) => set);
  // no notebook runs before these are there: all processors are free for them
  const options = { workers: navigator.hardwareConcurrency, here: n < 500 };
  return (await runChains(work, all, options)).map(chainText);
}

const bytes = new TextEncoder().encode(joinedChains(await chainsOf(await openStudy())));
for (let sent = 0; sent < bytes.length;) sent += Deno.stdout.writeSync(bytes.subarray(sent));
Deno.exit(0);
