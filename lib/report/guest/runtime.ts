/**
 * What runs inside a notebook's process, before and around the notebook's module.
 *
 * The parent greets it on standard input (passwords.ts) and hears it on standard output: one JSON
 * event a line, each begun by the next password; whatever else a cell prints is text of the cell
 * that is running. The notebook's module imports this one for {@link cell} and {@link show}, which
 * it can neither replace nor call out of turn; nothing else here can be reached from it.
 *
 * Imports nothing of the library but the display hook and, where answers are kept, what keeps them;
 * what notebooks import is loaded while it waits to be greeted.
 */
import { format } from "node:util";
import {
  displayChannel,
  displayHook,
  isDisplayable,
  type MediaBundle,
  textOf,
} from "../show/mod.ts";
import { closeDoors } from "./close-doors.ts";
import type { Greeting } from "./passwords.ts";
import { makeSpeaker, readGreeting, said, say, type Speaker } from "./speaker.ts";

const { apply, get } = Reflect;
const { parse, stringify } = JSON;
const exit = Deno.exit.bind(Deno);
const inspect = Deno.inspect.bind(Deno);
const later = setTimeout;
const now = performance.now.bind(performance);
const describe = format;
const NativeError = Error;
const isError = (error: unknown): error is Error => error instanceof NativeError;

let speaker: Speaker;
let current = 0;
let cells = 0;
let eventsLeft = 0;
let wideWidth: number | undefined;
let ended = false;
/** Gives what was worked out for the next run, where it is kept. */
let answersToKeep: (() => Uint8Array | undefined) | undefined;
/** Outputs that are still being drawn. */
let waiting = 0;

if (import.meta.main) {
  closeDoors();
  // the library, before there is something to do; where it cannot be loaded, the notebook says so
  await import("mitral").catch(() => {});
  await begin();
}

/** A cell begins; its number follows on that of the cell before, or the run ends there. */
export function cell(number: number): void {
  if (number !== current + 1 || number > cells) {
    fail(new NativeError("a cell called what only the report's runner calls: its cells are lost"));
  }
  current = number;
  tell("cell");
}

/** Shows the value of a cell's last expression. */
export async function show(value: unknown): Promise<void> {
  const shown = await value;
  if (shown !== undefined && shown !== null) await output("result", shown);
}

async function begin(): Promise<void> {
  const { line, rest } = readGreeting();
  speaker = makeSpeaker(rest);
  const greeting: Greeting = parse(line);
  ({ cells, wideWidth, events: eventsLeft } = greeting);
  Reflect.set(globalThis, Symbol.for("mitral.run"), greeting.files);
  Reflect.set(globalThis, displayChannel, (value: unknown) => output("display", value));
  for (const name of ["log", "info", "debug"] as const) {
    console[name] = (...values: unknown[]) => say(`${apply(describe, undefined, values)}\n`);
  }
  for (const name of ["warn", "error"] as const) {
    console[name] = (...values: unknown[]) =>
      tell("warned", { text: `${apply(describe, undefined, values)}\n` });
  }
  addEventListener("unhandledrejection", (event) => {
    event.preventDefault();
    fail(event.reason);
  });
  if (greeting.files.answers !== undefined) {
    ({ newAnswers: answersToKeep } = await import("../../cohort/kept/mod.ts"));
  }
  // awaited before any code of the notebook runs: no promise of its making takes part
  import(greeting.module).then(finish, stop);
}

/** The module ran to its end: what is still being drawn is waited for, timers are not. */
function finish(): void {
  if (current !== cells) {
    fail(new NativeError(`the notebook ended in its cell ${current} of ${cells}`));
  }
  endWith("end");
}

/** Nothing is left to compare: the cells that are left are no loss. Or the notebook failed. */
function stop(error: unknown): void {
  if (!isError(error) || error.name !== "NothingLeft") fail(error);
  endWith("stopped", { text: text(error.message) });
}

function endWith(type: "end" | "stopped", shown?: unknown): void {
  const patience = now() + 5000;
  const wait = () => {
    if (waiting > 0 && now() < patience) {
      later(wait, 5);
      return;
    }
    if (type === "end") tellAnswers();
    tell(type, shown);
    ended = true;
    exit(0);
  };
  // one turn, so that a promise that was refused meanwhile is heard
  later(wait, 0);
}

/** What cannot be told is worked out again by the next run. */
function tellAnswers(): void {
  try {
    const isNear = eventsLeft < 2 || said > mostSaid;
    const bytes = isNear ? undefined : answersToKeep?.();
    if (bytes) tell("answers", { bytes: bytes.toBase64() });
  } catch {
    // the notebook has shown all that it has to show
  }
}

/** Bytes up to which there is room for answers: a notebook may say no more than `budget` has. */
const mostSaid = 32e6;

async function output(as: "display" | "result", value: unknown): Promise<void> {
  const at = current;
  waiting++;
  try {
    const bundle: MediaBundle = isDisplayable(value)
      ? await value[displayHook]()
      : { "text/plain": typeof value === "string" ? stringify(value) : textOf(value) };
    tell(as, { bundle, item: itemOf(value) }, at);
  } finally {
    waiting--;
  }
}

/** Figures, tables, findings and notes, as data the report is built from. */
function itemOf(value: unknown): unknown {
  if (typeof value !== "object" || value === null || !("kind" in value)) return undefined;
  if (!["figure", "table", "finding", "note"].includes(String(value.kind))) return undefined;
  const wide = wideWidth === undefined ? undefined : wideDrawing(value, wideWidth);
  return wide === undefined ? value : { ...value, wide };
}

/** A figure drawn again at the width of two columns, where it can be. */
function wideDrawing(value: object, width: number): string | undefined {
  const redraw = get(value, "redraw");
  if (typeof redraw !== "function") return undefined;
  const drawn: { svg?: unknown } = apply(redraw, value, [width]);
  const { svg } = drawn;
  return typeof svg === "string" ? svg : undefined;
}

function fail(error: unknown): never {
  const known = isError(error);
  try {
    tell("error", {
      name: known ? text(error.name) : "Error",
      message: known ? text(error.message) : `a cell threw ${inspect(error)}`,
      stack: known ? text(error.stack) : "",
    });
  } finally {
    exit(1);
  }
  throw error;
}

function text(value: unknown): string {
  return typeof value === "string" ? value : "";
}

function tell(type: string, shown?: unknown, at = current): void {
  if (ended) return;
  // the last password is for saying so
  if (eventsLeft-- === 0) fail(new NativeError("the notebook shows more than a report can place"));
  speaker.tell([["type", type], ["cell", at]], shown);
}
