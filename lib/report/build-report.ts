import { libraryTypes } from "./declarations/mod.ts";
import { excludedList, keptList, manifestJson, versionsOf } from "./files/mod.ts";
import { demoStudy, Processes, projectFolder } from "./sandbox/mod.ts";
import { type EarlyRun, processPlaces } from "./early-run.ts";
import {
  join,
  type Notebook,
  type NotebookRun,
  type Progress,
  resolve,
  runNotebooks,
} from "./notebooks/mod.ts";
import { writeReport } from "./output/mod.ts";
import { type ClaimedOutput, claimOutput, folderOf } from "./claim/mod.ts";
import { keptFiles, keptRuns, withKeptInputs } from "./kept/mod.ts";
import { prepare, type Prepared, previewed, takeSnapshot } from "./snapshot/mod.ts";
import { sha256 } from "../numerics/memory/mod.ts";
import { openStudy } from "../study/file/mod.ts";
import { planSha256, readLock } from "../study/lock/mod.ts";
import { handOverParts } from "./parts/mod.ts";
import { firstRunOf } from "./lock/mod.ts";
import type { ReportModel } from "./model/mod.ts";
import { WordInWorker } from "./word-worker/mod.ts";
import { turn } from "./turn.ts";
import type { WrittenUp } from "./write-up.ts";

/** What to report on and where to put it. */
export interface BuildOptions {
  /** Study file; default, the demonstration. */
  study?: string;
  /** Cohort file in place of the one the study names. */
  cohort?: string;
  /** Visits file in place of the one the study names. */
  visits?: string;
  /** Folder of the report; default `out/<study name>` in the project. */
  out?: string;
  /** Folder of notebooks in place of those the study names. */
  notebooks?: string;
  /** Seconds a notebook may take; default an hour. */
  timeLimit?: number;
  /** Also writes the figures as PDF and PNG, for one and two columns of a journal. */
  print?: "figures";
  /** Runs the shortest notebooks and the study's own, and marks the documents as a preview. */
  preview?: boolean;
  /**
   * Whether the notebooks' types are checked before they run; default true. A caller that checks
   * them elsewhere, as the project's tests do, saves the seconds that the compiler takes.
   */
  typeCheck?: boolean;
  /**
   * Declares the library's types first where that was not done yet, so that this run and all later
   * ones check notebooks sooner; default false.
   */
  declareTypes?: boolean;
  /** What was begun of it before this was loaded. */
  begun?: EarlyRun;
  /** Runs every notebook, also those whose results were kept from a run that was the same. */
  fresh?: boolean;
  progress?: Progress;
}

/** A report that was written. */
export interface BuiltReport {
  folder: string;
  model: ReportModel;
  /** Paths of all files within the folder, but for the manifest. */
  files: string[];
}

/**
 * Runs the notebooks over a study and writes the report, its tables, figures, executed notebooks
 * and manifest.
 *
 * What is read is a copy of the inputs, made and hashed first; what is written takes the place of
 * an older report as a whole, when everything is ready. One run at a time may write to a folder.
 * What would let a reader work out a count of too few is withheld first.
 *
 * @throws {Error} Where there is nothing to run or nowhere to write. What goes wrong inside a
 * notebook does not throw: it is marked in the report and listed in `model.failures`.
 */
export async function buildReport(options: BuildOptions = {}): Promise<BuiltReport> {
  const { begun, preview = false } = options;
  const word = new WordInWorker();
  let claimed = begun?.claimed;
  try {
    const chosen = options.out ?? folderOf(await studyName(options.study), preview);
    if (begun && begun.chosen !== chosen) {
      await begun.processes.close();
      await begun.claimed.release();
      claimed = undefined;
    }
    claimed ??= await claimOutput(chosen);
    return await buildIn(claimed, options, word);
  } finally {
    word.end();
    await begun?.processes.close();
    await claimed?.release();
  }
}

async function buildIn(
  claimed: ClaimedOutput,
  options: BuildOptions,
  word: WordInWorker,
): Promise<BuiltReport> {
  const startedAt = new Date().toISOString();
  const began = performance.now();
  const { folder, work } = claimed;
  const inputs = join(work, "inputs");
  const snapshot = await takeSnapshot(options, inputs);
  const { failures, folders } = snapshot;
  const { preview = false } = options;
  const notebooks = preview ? previewed(snapshot.notebooks) : snapshot.notebooks;
  const title = `Preview, not for use: ${snapshot.study.title}`;
  const study = preview ? { ...snapshot.study, title } : snapshot.study;
  const planHash = await planSha256(snapshot.study);
  // beside the study file, of which a copy is read
  const lock = await readLock({ path: resolve(options.study ?? demoStudy) });
  const places = processPlaces(work, folders);
  const { nowhere } = places;
  const begun = options.begun?.processes.suit(places);
  if (!begun) await options.begun?.processes.close();
  await Deno.mkdir(nowhere, { recursive: true });
  const drawings = options.print === "figures" ? { wideWidth } : {};
  const sandbox = { read: [...places.read, nowhere], folder: nowhere };
  const files = {
    ...snapshot.paths,
    columns: join(inputs, "columns"),
    completed: join(inputs, "completed.json"),
    replicates: join(inputs, "replicates"),
  };
  const run = { ...snapshot, plan: planHash };
  const { hasSets } = await handOverParts(folder, run, files, options.progress?.step);
  const { library, lock: lockSha256, files: inputFiles } = snapshot;
  const keptWith = { library, lock: lockSha256, fresh: options.fresh };
  const kept = keptFiles(folder, keptWith);
  const isImputed = snapshot.study.missing.method === "impute" && !hasSets;
  const wanted: Prepared[] = isImputed ? ["columns", "completed"] : ["columns"];
  const ready = () =>
    prepared ??= withKeptInputs(new Map(wanted.map((name) => [name, files[name]])), {
      kept,
      inputs: inputFiles,
      prepare: (names) => prepare(files, names, sandbox),
    });
  // where nothing is run and nobody need be listed anew, no table is read
  let prepared: Promise<void> | undefined;
  const excluded = keptList(kept, inputFiles, async () => {
    await ready();
    return await excludedList(files, sandbox);
  });
  excluded.catch(() => {}); // it is awaited after the notebooks, and raised there
  const config = JSON.parse(await Deno.readTextFile(join(projectFolder, "deno.json")));
  const said = {
    study,
    failures,
    lock,
    planSha256: planHash,
    files: snapshot.files,
    lockSha256,
    versions: versionsOf(config),
  };
  // the pages' code is loaded once the first processes are on their way
  const load = async () => {
    const { writeUp } = await import("./write-up.ts");
    return writeUp;
  };
  const writeUp = async (runs: readonly NotebookRun[]) =>
    (await load())(runs, said, { kept, word });
  // one at a time
  const writtenAnew = async (runs: readonly NotebookRun[]) => {
    await early?.written.catch(() => {});
    return await writeUp(runs);
  };
  let early: { runs: readonly NotebookRun[]; written: Promise<WrittenUp> } | undefined;
  const heard = await runNotebooks(notebooks, {
    files,
    ready,
    processes: begun ?? new Processes(places),
    folders,
    timeLimit: options.timeLimit ?? longest,
    typeCheck: options.typeCheck,
    libraryTypes: () =>
      libraryTypes({
        library,
        lock: lockSha256,
        make: options.declareTypes ?? false,
        made: () => options.progress?.step("the library's types declared, for later runs too"),
      }),
    ...drawings,
    workFolder: work,
    kept: keptRuns(folder, {
      ingredients: { ...snapshot, ...drawings, typeCheck: options.typeCheck },
      // with the pages, which need the same
      partsOf: async (run) => (await import("./run-parts/mod.ts")).partsOf(run),
      kept,
      fresh: options.fresh,
    }),
    progress: options.progress,
    begun(running) {
      if (running.length > 0) word.begin();
      // what goes wrong goes wrong with the pages again, and is raised there
      load().catch(() => {});
      readAhead(running).catch(() => {});
    },
    ended(runs) {
      early = { runs, written: writeUp(runs) };
      early.written.catch(() => {}); // it is awaited below where it is of use, and raised there
    },
  });
  const { model, contents, proof, withheld } =
    await (early && sameRuns(early.runs, heard) ? early.written : writtenAnew(heard));
  const list = await excluded;
  if (list !== undefined) contents.set("excluded.csv", list);
  if (options.print === "figures") {
    const began = performance.now();
    // loaded here alone: a report that is not printed does not wait for it
    const { printedFiles } = await import("./printed-files.ts");
    for (const [path, bytes] of await printedFiles(model, withheld)) contents.set(path, bytes);
    options.progress?.step(
      `figures printed in ${((performance.now() - began) / 1000).toFixed(1)} s`,
    );
  }
  const outputs: Record<string, string> = {};
  for (const [path, content] of contents) outputs[path] = sha256(content);
  const manifest = manifestJson(model, {
    startedAt,
    firstRunAt: await firstRunOf(folder, study.name) ?? startedAt,
    seconds: (performance.now() - began) / 1000,
    outputs,
    notebooks: snapshot.hashes,
    beside: snapshot.beside,
    library,
    smallCounts: proof,
  });
  await writeReport(claimed, new Map([...contents, ["manifest.json", manifest]]));
  options.progress?.step("report written");
  return { folder, model, files: [...contents.keys()] };
}

/** Reads what a run does not change of notebooks while they run. */
async function readAhead(notebooks: readonly Notebook[]): Promise<void> {
  const { notebookProse } = await import("./notebook-sections/mod.ts");
  for (const notebook of notebooks) {
    await turn();
    notebookProse(notebook);
  }
}

/** Whether the compiler let pass what was written up before its verdict. */
function sameRuns(early: readonly NotebookRun[], heard: readonly NotebookRun[]): boolean {
  return heard.every((run, index) => run === early[index]);
}

/** The name under which a study's report goes where no folder was chosen. */
async function studyName(study: string | undefined): Promise<string> {
  const info = study === undefined ? undefined : await Deno.stat(study).catch(() => undefined);
  if (info && !info.isFile) {
    // a pipe can be read only once, by the run
    throw new Error(`Cannot report: ${study} is not a file; say with --out where the report goes`);
  }
  return (await openStudy(study)).name;
}

/** A notebook that has not ended after an hour has lost itself. */
const longest = 3600;

/** Letters at 180 mm as large as at 85 mm: drawings are 480 units wide unless told. */
const wideWidth = Math.round(480 * 180 / 85);
