import { cellKeys } from "../cells/mod.ts";
import { ownFiles, type Processes } from "../sandbox/mod.ts";
import type { RunPaths } from "../../study/file/mod.ts";
import { type ChangedCells, changedCells, type EarlierCells } from "./changed-cells.ts";
import { followImports } from "./imported-files.ts";
import { notebookModule } from "./module.ts";
import { codeOf, describeFailure, type Notebook, type NotebookFailure } from "./notebook.ts";
import { join } from "./paths.ts";
import type { Progress } from "./progress.ts";
import { type NotebookRun, notRun, runNotebook } from "./run-notebook.ts";
import { type LibraryTypes, type ModuleFile, typeCheck } from "./type-check.ts";

/** How to run a set of notebooks. */
export interface RunAllOptions {
  files: RunPaths;
  /** Makes what must be there before the first notebook runs. */
  ready?: () => Promise<void>;
  /** Starts the notebooks' processes; is closed in the end. */
  processes: Processes;
  /** The notebooks' own folders, from which they may import. */
  folders: readonly string[];
  /** Private folder of the run: the same path each time, so that checks are remembered. */
  workFolder: string;
  /** Notebooks at a time; default, one for each core. */
  atOnce?: number;
  /** Seconds a notebook may take. */
  timeLimit?: number;
  /** Whether types are checked first; default true. */
  typeCheck?: boolean;
  /** Finds or makes what the compiler holds notebooks against in place of the library's code. */
  libraryTypes?: () => Promise<LibraryTypes | undefined>;
  /** Draws each figure a second time at this width, for print. */
  wideWidth?: number;
  /** Results of earlier runs, and where to keep those of this one. */
  kept?: KeptRuns;
  progress?: Progress;
  /**
   * Called once a notebook has its task, or none is left that needs one: with those whose runs were
   * not kept.
   */
  begun?: (running: readonly Notebook[]) => unknown;
  /**
   * Called once every notebook has ended, whether or not the compiler has looked at them; the runs
   * that come back in the end are the same objects, but for those it refuses.
   */
  ended?: (runs: NotebookRun[]) => void;
}

/** Results of earlier runs, to be used again where they would come out the same. */
export interface KeptRuns {
  /** Whether there are results of just this notebook, which may be damaged. */
  isKnown(notebook: Notebook): Promise<boolean>;
  find(notebook: Notebook): Promise<KeptRun>;
  keep(run: NotebookRun): Promise<void>;
  /** What an earlier run worked out that still holds. */
  answers(notebook: Notebook): Promise<Uint8Array | undefined>;
}

/** What is known of a notebook from an earlier run. */
export interface KeptRun {
  /** Its result, where nothing has changed. */
  run?: NotebookRun;
  /** What its cells showed, where nothing but the notebook itself has changed. */
  cells?: EarlierCells;
  /** Seconds that it took, where something has changed, whatever that is. */
  lasted?: number;
}

/**
 * Runs notebooks side by side, but for those whose results were kept, each in a process that can
 * write nothing, stands in an empty folder and has stores of its own. Those that took longest the
 * last time begin first, so that all processors end together. Of an edited notebook only the cells
 * run that the edit reaches, and those they stand on, where its code lets that be told; its process
 * begins before anything else, for it takes a second to load the library.
 *
 * The compiler checks them in one pass meanwhile. What it refuses is ended, and nothing of its run
 * is kept or told.
 *
 * @returns One run a notebook, in the order given, whatever order they end in.
 */
export async function runNotebooks(
  notebooks: readonly Notebook[],
  options: RunAllOptions,
): Promise<NotebookRun[]> {
  const { processes } = options;
  await Deno.mkdir(processes.places.nowhere, { recursive: true });
  try {
    return await runIn(notebooks, options);
  } finally {
    await processes.close();
  }
}

async function runIn(
  notebooks: readonly Notebook[],
  options: RunAllOptions,
): Promise<NotebookRun[]> {
  const { processes, workFolder, progress, folders, kept } = options;
  const failures = new Map<string, NotebookFailure>();
  const files = new Map<string, ModuleFile>();
  const modules = join(workFolder, "modules");
  await Deno.mkdir(modules, { recursive: true });
  const runs = new Map<string, NotebookRun>();
  const parts = new Map<string, { changed: ChangedCells; file: ModuleFile }>();
  const lasted = new Map<string, number>();
  const atOnce = Math.max(1, options.atOnce ?? navigator.hardwareConcurrency);
  // by number: a file's name may be anything, and is written into code
  const modulesOf = notebooks.map((_, index) => ownFiles(join(modules, `${index + 1}`)));
  const known = await Promise.all(notebooks.map(async (one) => await kept?.isKnown(one) ?? false));
  if (known.filter((isKnown) => !isKnown).length <= atOnce) {
    for (const [index, { id }] of notebooks.entries()) {
      if (known[index]) continue;
      const given = processes.giveSpare(id);
      if (given) modulesOf[index] = given;
      else await processes.startEarly(id, modulesOf[index]!);
    }
  }
  // each begins in its turn, and one that only waits takes memory; or nothing is to run
  await processes.dropSpare();
  for (const [index, notebook] of notebooks.entries()) {
    const earlier = await kept?.find(notebook);
    if (earlier?.run) {
      runs.set(notebook.id, earlier.run);
      progress?.done(notebook.id, "unchanged");
      continue;
    }
    if (earlier?.lasted !== undefined) lasted.set(notebook.id, earlier.lasted);
    const result = notebookModule(notebook);
    if ("failure" in result) {
      failures.set(notebook.id, result.failure);
      continue;
    }
    const { whole: path, part: partPath } = modulesOf[index]!;
    await Deno.writeTextFile(path, result.module.source);
    files.set(notebook.id, { module: result.module, path });
    const changed = earlier?.cells && changedCells(notebook, earlier.cells);
    const part = changed && notebookModule(notebook, changed.needed);
    if (!part || "failure" in part) continue;
    await Deno.writeTextFile(partPath, part.module.source);
    parts.set(notebook.id, { changed, file: { module: part.module, path: partPath } });
  }
  let prepared: Promise<void> | undefined;
  const ready = () => prepared ??= options.ready?.();
  const isToRun = ({ id }: Notebook) => !runs.has(id) && parts.get(id)?.changed.needed.size !== 0;
  // it is awaited by each notebook, and raised there
  if (notebooks.some(isToRun)) ready()?.catch(() => {});
  const toCheck = notebooks.length - runs.size;
  const refuse = (failure: NotebookFailure) => failures.set(failure.notebook, failure);
  let checked = Promise.resolve();
  if (options.typeCheck ?? true) {
    const places = { folder: modules, own: folders };
    const imports = await followImports([...files.values()], places);
    imports.failures.forEach(refuse);
    const check = async () => {
      // what imports other files may reach the library's code through them
      const types = imports.reached.size === 0 ? await options.libraryTypes?.() : undefined;
      const found = await typeCheck([...files.values()], places, imports, types);
      found.forEach(refuse);
      progress?.step(`${toCheck} notebooks checked`);
    };
    checked = toCheck > 0 ? check() : checked;
  }
  checked.catch(() => {}); // it is awaited with each notebook, and raised there
  const waiting = [...notebooks.entries()].filter(([, { id }]) => !runs.has(id)).map((
    [index, notebook],
  ) => ({
    index,
    notebook,
    cells: files.get(notebook.id)?.module.cellCount ?? 0,
    seconds: lasted.get(notebook.id),
  }));
  progress?.begin?.(
    waiting.map(({ notebook: { id }, cells, seconds }) => ({ id, cells, seconds })),
  );
  const queue = longestFirst(waiting);
  // without a verdict nothing is told of any
  checked.catch(() => queue.length = 0);
  const finish = async (ended: NotebookRun) => {
    await checked;
    const { notebook, notebook: { id } } = ended;
    const failure = failures.get(id);
    const run = failure ? notRun(notebook, failure) : ended;
    runs.set(id, run);
    await kept?.keep(run);
    progress?.done(id, outcomeOf(run));
  };
  const finished: Promise<void>[] = [];
  const begun = Promise.withResolvers<void>();
  const endings = new Map(runs);
  const work = async () => {
    for (let next = queue.shift(); next; next = queue.shift()) {
      const { index, notebook, notebook: { id } } = next;
      const failure = failures.get(id);
      const file = files.get(id);
      const stop = new AbortController();
      checked.then(() => failures.has(id) && stop.abort(), () => stop.abort());
      const { answers } = modulesOf[index]!;
      // what code may write into may hold other than it did
      const isPlain = kept !== undefined && cellKeys(codeOf(notebook)) !== undefined;
      const runFile = async ({ module, path }: ModuleFile, before?: Uint8Array) => {
        if (isPlain) await Deno.writeFile(answers, before ?? new Uint8Array());
        return await runNotebook(notebook, { module, path }, {
          files: { ...options.files, ...(isPlain && { answers }) },
          process: await processes.take(id, modulesOf[index]!),
          ready: ready(),
          timeLimit: options.timeLimit,
          stop: stop.signal,
          wideWidth: options.wideWidth,
          onTold: begun.resolve,
          onCell: (cell) => progress?.cell(id, { cell, of: module.cellCount }),
        });
      };
      const before = isPlain ? await kept.answers(notebook) : undefined;
      const runPart = async () => {
        const found = parts.get(id);
        if (!found) return undefined;
        const part = found.changed.needed.size > 0 ? await runFile(found.file, before) : undefined;
        return stop.signal.aborted ? part : found.changed.complete(part);
      };
      const run = failure || !file
        ? notRun(notebook, failure ?? missing(id))
        : await runPart() ?? await runFile(file, parts.has(id) ? undefined : before);
      endings.set(id, run);
      const end = finish(run);
      end.catch(() => {}); // it is awaited below, and raised there
      finished.push(end);
    }
  };
  const running = waiting.map(({ notebook }) => notebook);
  const working = Promise.all(Array.from({ length: Math.min(atOnce, queue.length) }, work));
  working.catch(() => {}).then(() => begun.resolve());
  begun.promise.then(() => options.begun?.(running));
  await working;
  if (endings.size === notebooks.length) options.ended?.(inOrder(notebooks, endings));
  await Promise.all(finished);
  return inOrder(notebooks, runs);
}

function outcomeOf({ failure, seconds, again, outputs }: NotebookRun): string {
  if (failure) return `FAILED  ${describeFailure(failure).split("\n")[0]}`;
  const done = `done in ${(again?.seconds ?? seconds.total).toFixed(1)} s`;
  return again ? `${done}, ${again.cells} of ${outputs.length} cells run again` : done;
}

function inOrder(
  notebooks: readonly Notebook[],
  runs: ReadonlyMap<string, NotebookRun>,
): NotebookRun[] {
  return notebooks.map(({ id }) => runs.get(id)).filter((run) => run !== undefined);
}

/**
 * What took longest first; what nobody knows of before it, the last first: what repeats an analysis
 * over and over stands behind the analysis.
 */
function longestFirst<Waiting extends { index: number; seconds: number | undefined }>(
  waiting: readonly Waiting[],
): Waiting[] {
  return waiting.toSorted((a, b) => {
    const [own, other] = [a.seconds ?? Infinity, b.seconds ?? Infinity];
    return own === other ? b.index - a.index : other - own;
  });
}

function missing(notebook: string): NotebookFailure {
  return { notebook, stage: "syntax", message: "no module was made from it" };
}
