import { type ReceivedItem, splitEvents } from "./child-events.ts";
import type { MediaBundle } from "../show/mod.ts";
import type { ModuleFile } from "./type-check.ts";
import { type Notebook, type NotebookFailure, withoutAdvice } from "./notebook.ts";
import { toFileUrl } from "./paths.ts";
import type { RunPaths } from "../../study/file/mod.ts";
import { sandboxCommand, type SandboxOptions } from "./sandbox.ts";

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
  /** Seconds from spawning to the first cell, and altogether. */
  seconds: { start: number; total: number };
}

/** How to run a notebook. */
export interface RunOptions {
  files: RunPaths;
  sandbox: SandboxOptions;
  /** Seconds after which a run that has not ended is ended. */
  timeLimit?: number;
  /** Draws each figure a second time at this width, for print. */
  wideWidth?: number;
  /** Told of each cell as it begins, from 1. */
  onCell?: (cell: number) => void;
}

/**
 * Runs a notebook's module in a sandboxed child and gathers what each cell shows.
 *
 * Never throws for what a cell does: a failure is part of the result.
 */
export async function runNotebook(
  notebook: Notebook,
  file: ModuleFile,
  options: RunOptions,
): Promise<NotebookRun> {
  const { module, path } = file;
  const outputs: CellOutput[][] = Array.from({ length: module.cellCount }, () => []);
  const nonce = crypto.randomUUID();
  const began = performance.now();
  const elapsed = () => (performance.now() - began) / 1000;
  const child = sandboxCommand(
    new URL("./child-runtime.ts", import.meta.url),
    [toFileUrl(path).href, nonce, JSON.stringify(options.files), String(options.wideWidth ?? "")],
    options.sandbox,
  ).spawn();
  const errorText = new Response(child.stderr).text();
  let overtime = false;
  const { timeLimit } = options;
  const timer = timeLimit === undefined ? undefined : setTimeout(() => {
    overtime = true;
    child.kill("SIGKILL");
  }, 1000 * timeLimit);
  let failure: NotebookFailure | undefined;
  let start = 0;
  let current = 0;
  let ended = false;
  for await (const event of splitEvents(child.stdout, nonce)) {
    if (event.type === "text") {
      appendText(outputs[Math.max(current, 1) - 1], "stdout", event.text);
      continue;
    }
    const cellOutputs = outputs[Math.max(event.cell, 1) - 1];
    switch (event.type) {
      case "cell":
        current = event.cell;
        if (current === 1) start = elapsed();
        options.onCell?.(current);
        break;
      case "stream":
        appendText(cellOutputs, event.name, event.text);
        break;
      case "output":
        cellOutputs?.push({ type: event.as, bundle: event.bundle, ...event.item });
        break;
      case "error": {
        const message = `${event.name}: ${withoutAdvice(event.message)}`;
        failure = {
          notebook: notebook.id,
          ...placeOf(event.stack, file) ?? (event.cell > 0 ? { cell: event.cell } : {}),
          stage: "running",
          message,
        };
        const at = outputs[(failure.cell ?? 1) - 1];
        at?.push({ type: "error", name: event.name, message });
        break;
      }
      case "end":
        ended = true;
    }
  }
  const { code } = await child.status;
  clearTimeout(timer);
  const rest = (await errorText).trim();
  if (rest !== "") appendText(outputs[Math.max(current, 1) - 1], "stderr", `${rest}\n`);
  if (!failure && (!ended || code !== 0)) {
    const reason = rest === "" ? "" : `: ${rest.split("\n")[0]}`;
    failure = {
      notebook: notebook.id,
      ...(current > 0 ? { cell: current } : {}),
      stage: "running",
      message: overtime
        ? `did not end within the time limit of ${timeLimit} s`
        : `the notebook stopped before its end (exit code ${code})${reason}`,
    };
  }
  return { notebook, outputs, failure, seconds: { start, total: elapsed() } };
}

/** A run that did not happen, for a notebook that could not be parsed or checked. */
export function notRun(notebook: Notebook, failure: NotebookFailure): NotebookRun {
  const codeCells = notebook.cells.filter((cell) => cell.cell_type === "code").length;
  const outputs: CellOutput[][] = Array.from({ length: codeCells }, () => []);
  outputs[(failure.cell ?? 1) - 1]?.push({
    type: "error",
    name: failure.stage,
    message: failure.message,
  });
  return { notebook, outputs, failure, seconds: { start: 0, total: 0 } };
}

function appendText(
  cell: CellOutput[] | undefined,
  name: "stdout" | "stderr",
  text: string,
): void {
  const last = cell?.at(-1);
  if (last?.type === "stream" && last.name === name) last.text += text;
  else cell?.push({ type: "stream", name, text });
}

/** The innermost frame of a stack that lies in the notebook's own module. */
function placeOf(stack: string, { module, path }: ModuleFile) {
  const url = toFileUrl(path).href;
  for (const line of stack.split("\n")) {
    const found = line.split(`${url}:`)[1];
    if (found !== undefined) return module.place(Number.parseInt(found, 10));
  }
  return undefined;
}
