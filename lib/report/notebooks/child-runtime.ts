/**
 * What runs inside the sandboxed child, before and around a notebook's module.
 *
 * Arguments: the module's URL, a nonce, the run's file paths as JSON, and, where figures are to be
 * printed, the width at which each is drawn a second time. Speaks to the parent on
 * standard output, one JSON event a line, each begun by the nonce; whatever else a cell prints is
 * passed on as text of the cell that is running.
 *
 * Imports nothing of the library but the display hook: it is loaded for every notebook.
 */
import process from "node:process";
import { format } from "node:util";
import {
  displayChannel,
  displayHook,
  isDisplayable,
  type MediaBundle,
  textOf,
} from "../show/mod.ts";

const [moduleUrl = "", nonce = "", filesJson = "{}", wideWidth = ""] = Deno.args;
const encoder = new TextEncoder();
let current = 0;

closeDoors();
Reflect.set(globalThis, Symbol.for("mitral.run"), JSON.parse(filesJson));
Reflect.set(globalThis, displayChannel, (value: unknown) => output("display", value));
Reflect.set(globalThis, Symbol.for("mitral.cells"), {
  cell,
  show,
  end: () => emit({ type: "end" }),
});
for (const name of ["log", "info", "debug", "warn", "error"] as const) {
  const stream = name === "warn" || name === "error" ? "stderr" : "stdout";
  console[name] = (...values: unknown[]) =>
    emit({ type: "stream", name: stream, text: `${format(...values)}\n` });
}
addEventListener("unhandledrejection", (event) => {
  event.preventDefault();
  fail(event.reason);
});
try {
  await import(moduleUrl);
} catch (error) {
  fail(error);
}

function cell(number: number): void {
  current = number;
  emit({ type: "cell" });
}

async function show(value: unknown): Promise<void> {
  const shown = await value;
  if (shown !== undefined && shown !== null) await output("result", shown);
}

async function output(as: "display" | "result", value: unknown): Promise<void> {
  const at = current;
  const bundle: MediaBundle = isDisplayable(value)
    ? await value[displayHook]()
    : { "text/plain": typeof value === "string" ? JSON.stringify(value) : textOf(value) };
  emit({ type: "output", as, bundle, item: itemOf(value) }, at);
}

/** Figures, tables, findings and notes, as data the report is built from. */
function itemOf(value: unknown): unknown {
  if (typeof value !== "object" || value === null || !("kind" in value)) return undefined;
  if (!["figure", "table", "finding", "note"].includes(String(value.kind))) return undefined;
  const wide = wideWidth === "" ? undefined : wideDrawing(value);
  return wide === undefined ? value : { ...value, wide };
}

/** A figure drawn again at the width of two columns, where it can be. */
function wideDrawing(value: object): string | undefined {
  const redraw = Reflect.get(value, "redraw");
  if (typeof redraw !== "function") return undefined;
  const drawn: { svg?: unknown } = Reflect.apply(redraw, value, [Number(wideWidth)]);
  const { svg } = drawn;
  return typeof svg === "string" ? svg : undefined;
}

function fail(error: unknown): void {
  const known = error instanceof Error;
  emit({
    type: "error",
    name: known ? error.name : "Error",
    message: known ? error.message : `a cell threw ${Deno.inspect(error)}`,
    stack: known ? error.stack ?? "" : "",
  });
  Deno.exit(1);
}

function emit(event: Record<string, unknown>, cellNumber = current): void {
  const bytes = encoder.encode(`${nonce}${JSON.stringify({ ...event, cell: cellNumber })}\n`);
  for (let sent = 0; sent < bytes.length;) sent += Deno.stdout.writeSync(bytes.subarray(sent));
}

/**
 * Some packages list the environment while they load, which would end a run that may not read it:
 * they are shown an empty one. What keeps data in the Deno cache folder between runs is taken away;
 * it needs no permission and lies outside the output folder.
 */
function closeDoors(): void {
  Object.defineProperty(process, "env", { value: {}, configurable: false, writable: false });
  for (const name of ["localStorage", "sessionStorage", "caches", "indexedDB"]) {
    Reflect.deleteProperty(globalThis, name);
  }
}
