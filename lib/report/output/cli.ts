import { openStudy, provenance, studyOf } from "../../study/file/mod.ts";
import { commandLine, messageOf, studyOptions } from "../../study/command-line/mod.ts";
import { projectFolder } from "../sandbox/mod.ts";
import { join, resolve } from "../notebooks/mod.ts";
import { libraryHash, notebooksIn, notebooksOf, readNotebooks } from "../snapshot/mod.ts";
import { sha256 } from "../../numerics/memory/mod.ts";
import { changedInputs, verifyOutput } from "./verify.ts";

const usage = `Holds a report against its manifest: what was written, and what it was made from.

  deno task verify OUT [--study FILE] [--cohort FILE] [--visits FILE] [--notebooks DIR]

  OUT               folder of a report
  --study FILE      also: is this study file, with its tables, the one it was made from?
  --cohort FILE     patients table, in place of the one the study file names
  --visits FILE     echo visits table, in place of the one the study file names
  --notebooks DIR   the notebooks (default: those the study file names, or notebooks)

Exit code: 0 everything is as the manifest says; 1 something is not; 2 nothing could be verified.
`;

/** Runs the command; the result is its exit code. */
async function main(args: readonly string[]): Promise<number> {
  const line = commandLine(args, {
    usage,
    options: { ...studyOptions, notebooks: { type: "string" } },
    positionals: 1,
  });
  if ("code" in line) return line.code;
  try {
    const { study, cohort, visits, notebooks } = line.values;
    const [out = ""] = line.positionals;
    const { manifest, unchanged, problems, others } = await verifyOutput(resolve(out));
    const inputs = new Map([
      ["lock", sha256(await Deno.readFile(join(projectFolder, "deno.lock")))],
      ["library", libraryHash()],
    ]);
    let paths = await notebooksIn(resolve(notebooks ?? join(projectFolder, "notebooks")));
    if (study !== undefined) {
      const opened = await openStudy(study);
      const of = studyOf(opened, opened.path, { cohort, visits });
      for (const { role, sha256 } of await provenance(of)) inputs.set(role, sha256);
      if (notebooks === undefined) paths = await notebooksOf(of);
    }
    const { hashes, beside } = await readNotebooks(paths);
    const changed = changedInputs(manifest, { inputs, notebooks: hashes, beside });
    console.log(`Report of ${manifest.study}, begun ${manifest.startedAt}`);
    if (!manifest.complete) console.log("It says itself that it is incomplete.");
    console.log(`${unchanged.length} files are as the run left them.`);
    for (const problem of problems) console.log(`  ${problem}`);
    for (const path of others) console.log(`  ${path} is no file of the run`);
    console.log(
      changed.length === 0
        ? `What it was made from is what lies here now (${
          [...inputs.keys()].join(", ")
        }, notebooks).`
        : "What it was made from is not what lies here now:",
    );
    for (const problem of changed) console.log(`  ${problem}`);
    return problems.length + changed.length === 0 ? 0 : 1;
  } catch (error) {
    console.error(messageOf(error));
    return 2;
  }
}

if (import.meta.main) Deno.exit(await main(Deno.args));
