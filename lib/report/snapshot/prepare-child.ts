/**
 * What runs inside a sandboxed child before the notebooks: reads a study's two tables and checks
 * them, once for all of a run, and completes its missing covariates. Neither the report nor its
 * parent process reads a row; this does, shut off like a notebook but for the private files that it
 * writes.
 *
 * Arguments: the run's file paths as JSON, then the names of those it is to write, in order. Each
 * is told on standard output once it is whole. Exit code 1 where the cohort cannot be read or the
 * sets cannot be made.
 */
import process from "node:process";
import type { RunPaths, Study } from "../../study/file/mod.ts";

// some packages list the environment while they load, which a sandboxed run may not read
Object.defineProperty(process, "env", { value: {}, configurable: false, writable: false });
const [paths = "{}", ...wanted] = Deno.args;
const files: RunPaths = JSON.parse(paths);
Reflect.set(globalThis, Symbol.for("mitral.run"), files);

const { openStudy } = await import("../../study/file/mod.ts");
const { readCohort } = await import("../../cohort/mod.ts");

async function* columns(study: Study): AsyncGenerator<Uint8Array> {
  const { cohortBytes } = await import("../../cohort/kept/mod.ts");
  yield* cohortBytes(await readCohort(study), study);
}

async function* completed(study: Study): AsyncGenerator<Uint8Array> {
  const { chainText, joinedChains } = await import("../../missing/study/mod.ts");
  const { runChains } = await import("../../missing/chain/mod.ts");
  const { work, sets, n } = await workOf(study);
  // what it was made of is many times as large, and workers take memory of their own
  Reflect.get(globalThis, "gc")?.();
  const all = Array.from({ length: sets }, (_, set) => set);
  // no notebook runs before these are there: all processors are free for them
  const options = { workers: navigator.hardwareConcurrency, here: n < 5000 };
  yield new TextEncoder().encode(
    joinedChains((await runChains(work, all, options)).map(chainText)),
  );
}

/** The chains to be run, and of how many patients: the cohort itself is let go. */
async function workOf(study: Study) {
  const { selectEligible } = await import("../../cohort/analysis/mod.ts");
  const { chainWorkOf } = await import("../../missing/study/mod.ts");
  const eligible = selectEligible(await readCohort(study), study);
  return { ...chainWorkOf(eligible, study), n: eligible.n };
}

/** A file is there only once there is something to write: what reads may look for it. */
async function write(path: string, pieces: AsyncGenerator<Uint8Array>): Promise<void> {
  const first = await pieces.next();
  using file = await Deno.open(path, { write: true, createNew: true, mode: 0o600 });
  for (let next = first; !next.done; next = await pieces.next()) {
    const bytes = next.value;
    for (let sent = 0; sent < bytes.length;) sent += file.writeSync(bytes.subarray(sent));
  }
}

const study = await openStudy();
for (const name of wanted) {
  if (name === "columns") await write(files.columns!, columns(study));
  if (name === "completed") await write(files.completed!, completed(study));
  console.log(name);
}
Deno.exit(0);
