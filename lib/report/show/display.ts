/**
 * The open hook by which an object tells a notebook client how to show it. A client calls it and
 * picks the richest media type it can draw.
 */
export const displayHook: unique symbol = Symbol.for("Jupyter.display");

/** Media type to content: text, or a plain object where the type ends in `json`. */
export type MediaBundle = Record<string, unknown>;

/** Something that can show itself in a notebook and in the report. */
export interface Displayable {
  /** What a Jupyter client shows of it. */
  [displayHook](): MediaBundle;
}

/** The media type under which this project's objects travel as data beside what is drawn. */
export const mitralMediaType = "application/vnd.mitral+json";

/** Where the report runner puts the function that receives what a cell displays. */
export const displayChannel: unique symbol = Symbol.for("mitral.display");

/**
 * Shows a value below the cell that is running: a table, figure, finding or note as itself,
 * anything else as text.
 *
 * Works alike in the report runner and in a notebook client; in a plain script it prints the text
 * form. The last expression of a cell is shown without it. Await it, so that the order of outputs
 * is the order of calls in every client.
 *
 * @example
 * ```ts
 * import { display, table } from "mitral";
 * const columns = [{ key: "age", label: "Age" }];
 * const rows = [{ age: 61 }, { age: 72 }];
 * await display(table({ id: "ages", title: "Ages", caption: "Years.", columns, rows }));
 * ```
 */
export async function display(value: unknown): Promise<void> {
  const channel = Reflect.get(globalThis, displayChannel);
  if (typeof channel === "function") {
    await channel(value);
    return;
  }
  const kernel = notebookKernel();
  if (kernel) await kernel.display(value);
  else console.log(textOf(value));
}

/**
 * Shows each of several values, in order; see {@link display}.
 *
 * @example
 * ```ts
 * import { displayAll } from "mitral";
 * await displayAll(["first", "second"]);
 * ```
 */
export async function displayAll(values: Iterable<unknown>): Promise<void> {
  for (const value of values) await display(value);
}

/** Whether {@link display} has a place to show things: the report runner, or a notebook client. */
export function isShownSomewhere(): boolean {
  return typeof Reflect.get(globalThis, displayChannel) === "function" ||
    notebookKernel() !== undefined;
}

/** Whether a value carries the display hook. */
export function isDisplayable(value: unknown): value is Displayable {
  return (typeof value === "object" || typeof value === "function") && value !== null &&
    typeof Reflect.get(value, displayHook) === "function";
}

/** The text form of any value: its own `text/plain` if it has one, else as the console shows it. */
export function textOf(value: unknown): string {
  if (isDisplayable(value)) {
    const text = value[displayHook]()["text/plain"];
    if (typeof text === "string") return text;
  }
  if (typeof value === "string") return value;
  return Deno.inspect(value, {
    colors: false,
    depth: 4,
    iterableLimit: 50,
    strAbbreviateSize: 400,
  });
}

interface Kernel {
  display(value: unknown): Promise<void>;
}

/** The Deno kernel's display, where this runs in one. Reading it elsewhere may throw. */
function notebookKernel(): Kernel | undefined {
  try {
    const kernel = Reflect.get(Deno, "jupyter") as Kernel | undefined;
    return typeof kernel?.display === "function" ? kernel : undefined;
  } catch {
    return undefined;
  }
}
