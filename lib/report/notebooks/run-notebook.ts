import {
  budget,
  type Greeting,
  greetingFor,
  OverBudget,
  passwords,
  type ReceivedItem,
  splitEvents,
} from "../guest/mod.ts";
import type { CellCode } from "../cells/mod.ts";
import type { MediaBundle } from "../show/mod.ts";
import type { RunPaths } from "../../study/file/mod.ts";
import type { Content } from "../tree/mod.ts";
import type { ModuleFile } from "./type-check.ts";
import { Heard } from "./heard.ts";
import { codeOf, type Notebook, type NotebookFailure } from "./notebook.ts";
import { toFileUrl } from "./paths.ts";
import { dismiss, type WaitingProcess } from "../sandbox/mod.ts";

/** What a cell left below itself. */
export type CellOutput =
  | { type: "stream"; name: "stdout" | "stderr"; text: string }
  | { type: "display" | "result"; bundle: MediaBundle } & ReceivedItem
  | { type: "error"; name: string; message: string };

/** A notebook after its run. */
export interface NotebookRun {
  notebook: Notebook;
  /** Outputs of each code cell, in order; cells that were not reached have none. */
  outputs: CellOutput[][];
  failure: NotebookFailure | undefined;
  /** The cell with which it ended where nothing was left to compare; those after it did not run. */
  stopped?: number;
  seconds: RunSeconds;
  /** The result of an earlier run was used again; the seconds are those of that run. */
  kept?: boolean;
  /** What pages are made from, where that was kept as well. */
  parts?: RunParts;
  /** What was worked out in it, for the next run of the same notebook. */
  answers?: Uint8Array<ArrayBuffer>;
  /**
   * How many cells ran again, and the seconds that this took, where the others' outputs were kept;
   * the seconds of each cell are then of the run in which it ran last.
   */
  again?: { cells: number; seconds: number };
}

/** What pages are made from, read off a run: plain data, to be kept with it. */
export interface RunParts {
  /** What each code cell calls. */
  code: readonly CellCode[];
  prose: NotebookProse;
  /**
   * Of each figure, in order: its drawing made safe, as JSON, as a page has it, and as a file; null
   * where it is none.
   */
  drawings: readonly ({ safe: string; markup: string; printed: string } | null)[];
  /** Of each table, in order: as a page has it, and as a file. */
  tables: readonly { markup: string; csv: string }[];
  /** Of each Markdown that is no item, in order: as a page has it. */
  said: readonly string[];
}

/** What a notebook says beside its code, as its section shows it. */
export interface NotebookProse {
  /** Its first heading, which becomes the section's; nothing where it has none. */
  title?: Content;
  /** Headings that the contents list. */
  parts: { anchor: string; title: Content }[];
  /** Of each cell by its place; nothing for cells that are no prose. */
  cells: Content[];
}

/** How long a notebook's run took. */
export interface RunSeconds {
  /** From its process's being told its task to the first cell. */
  start: number;
  /** Altogether. */
  total: number;
  /** Of each code cell that was reached, in order. */
  cells: number[];
}

/** How to run a notebook. */
export interface RunOptions {
  files: RunPaths;
  /** It may read the module. */
  process: WaitingProcess;
  /** When what it reads is there; its process waits for it. */
  ready?: Promise<void>;
  /** Seconds after which a run that has not ended is ended. */
  timeLimit?: number;
  /** Ends the run before its end: nobody will read what it gives. */
  stop?: AbortSignal;
  /** Draws each figure a second time at this width, for print. */
  wideWidth?: number;
  /** Called once its process has its task. */
  onTold?: () => void;
  /** Told of each cell as it begins, from 1. */
  onCell?: (cell: number) => void;
}

/**
 * Runs a notebook's module in a sandboxed child and gathers what each cell shows.
 *
 * Never throws for what a cell does: a failure is part of the result. A run is whole only if its
 * cells began one after the other, from the first to the last, and the child then said that the
 * module had come to its end; timers and requests that are left then do not matter.
 */
export async function runNotebook(
  notebook: Notebook,
  file: ModuleFile,
  options: RunOptions,
): Promise<NotebookRun> {
  const { module, path } = file;
  const { child, kill, forget } = options.process;
  try {
    await options.ready;
  } catch (error) {
    await dismiss(options.process);
    throw error;
  }
  const began = performance.now();
  const elapsed = () => (performance.now() - began) / 1000;
  const { bytes, words } = passwords(budget.events + 1);
  const heard = new Heard(notebook, file, elapsed, options.onCell);
  const told = greet(child, {
    module: toFileUrl(path).href,
    cells: module.cellCount,
    events: budget.events,
    files: options.files,
    ...(options.wideWidth !== undefined && { wideWidth: options.wideWidth }),
  }, bytes);
  told.then(options.onTold);
  const errorText = firstText(child.stderr, 2 ** 20);
  let overtime = false;
  const { timeLimit } = options;
  const timer = timeLimit === undefined ? undefined : setTimeout(() => {
    overtime = true;
    kill();
  }, 1000 * timeLimit);
  if (options.stop?.aborted) kill();
  options.stop?.addEventListener("abort", kill);
  try {
    for await (const event of splitEvents(child.stdout, words)) {
      heard.take(event);
      if (heard.ended || heard.failure) break;
    }
  } catch (error) {
    if (!(error instanceof OverBudget)) throw error;
    heard.fail(error.message);
  }
  await told;
  // what has ended gets a moment to leave by itself, and its caches with it
  const patience = setTimeout(kill, 1500);
  const { code } = await child.status;
  clearTimeout(patience);
  clearTimeout(timer);
  options.stop?.removeEventListener("abort", kill);
  forget();
  const rest = (await errorText).trim();
  if (rest !== "") heard.print("stderr", `${rest}\n`);
  if (!heard.failure && !heard.ended) {
    const reason = rest === "" ? "" : `: ${rest.split("\n")[0]}`;
    heard.fail(
      overtime
        ? `did not end within the time limit of ${timeLimit} s`
        : `the notebook stopped before its end (exit code ${code})${reason}`,
    );
  }
  const { outputs, failure, stopped, start, answers } = heard;
  const seconds = { start, total: elapsed(), cells: heard.secondsOfCells() };
  return {
    ...{ notebook, outputs, failure, seconds },
    ...(stopped !== undefined && { stopped }),
    ...(answers && { answers }),
  };
}

/** Tells the child its task. One that has ended already is found out by its silence. */
async function greet(
  child: Deno.ChildProcess,
  greeting: Greeting,
  passwords: Uint8Array<ArrayBuffer>,
): Promise<void> {
  const writer = child.stdin.getWriter();
  await writer.write(greetingFor(greeting, passwords)).catch(() => {});
  await writer.close().catch(() => {});
}

/** The beginning of a stream as text; the rest is read and forgotten. */
async function firstText(stream: ReadableStream<Uint8Array>, most: number): Promise<string> {
  const decoder = new TextDecoder();
  let text = "";
  for await (const bytes of stream) {
    if (text.length < most) text += decoder.decode(bytes, { stream: true }).slice(0, most);
  }
  return text;
}

/** A run that did not happen, for a notebook that could not be parsed or checked. */
export function notRun(notebook: Notebook, failure: NotebookFailure): NotebookRun {
  const outputs = codeOf(notebook).map((): CellOutput[] => []);
  outputs[(failure.cell ?? 1) - 1]?.push({
    type: "error",
    name: failure.stage,
    message: failure.message,
  });
  return { notebook, outputs, failure, seconds: { start: 0, total: 0, cells: [] } };
}
