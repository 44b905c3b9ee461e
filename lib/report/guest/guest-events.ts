import { z } from "zod";
import { type ShownItem, shownItemSchema } from "../items/mod.ts";
import { type Budget, budget, drawingProblem } from "./budget.ts";

const cell = z.number().int().nonnegative();

/**
 * What a notebook's process says, held against this shape where it crosses from there. The head is
 * the runtime's; what is under `shown` is the notebook's own.
 */
const eventSchema = z.discriminatedUnion("type", [
  z.object({ type: z.enum(["cell", "end"]), cell }),
  z.object({ type: z.enum(["warned", "stopped"]), cell, shown: z.object({ text: z.string() }) }),
  z.object({ type: z.literal("answers"), cell, shown: z.object({ bytes: z.base64() }) }),
  z.object({
    type: z.enum(["display", "result"]),
    cell,
    shown: z.object({
      bundle: z.record(z.string(), z.unknown()).refine(canBeDrawn),
      item: z.unknown().optional().transform(readItem),
    }),
  }),
  z.object({
    type: z.literal("error"),
    cell,
    shown: z.object({ name: z.string(), message: z.string(), stack: z.string() }),
  }),
]);

/** What the process tells its parent; see runtime.ts. */
export type GuestEvent =
  | z.output<typeof eventSchema>
  /** Said by the runtime, yet not in any shape that can be shown. */
  | { type: "unreadable"; cell: number };

/** Text the process printed past the runtime. */
export interface GuestText {
  type: "text";
  text: string;
}

/** A figure, table, finding or note; or why it is none, where it says that it is one. */
export interface ReceivedItem {
  item?: ShownItem;
  unreadable?: string;
}

/** A notebook showed or printed more than a report can hold. */
export class OverBudget extends Error {
  override name = "OverBudget";
}

function readItem(raw: unknown): ReceivedItem {
  if (raw === undefined || raw === null) return {};
  const parsed = shownItemSchema.safeParse(raw);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    return { unreadable: `${issue?.path.join(".")}: ${issue?.message}` };
  }
  const item = parsed.data;
  const problem = itemProblem(item);
  return problem === undefined ? { item } : { unreadable: `${item.kind} ${item.id}: ${problem}` };
}

/** Whether the drawing among the forms of something, where there is one, can be read. */
function canBeDrawn(bundle: Record<string, unknown>): boolean {
  const svg = bundle["image/svg+xml"];
  return typeof svg !== "string" || drawingProblem(svg) === undefined;
}

function itemProblem(item: ShownItem): string | undefined {
  if (item.kind === "figure") {
    return drawingProblem(item.svg) ?? (item.wide && drawingProblem(item.wide));
  }
  if (item.kind !== "table") return undefined;
  const values = item.rows.length * item.columns.length;
  return values <= budget.values
    ? undefined
    : `it has ${values} values, more than the ${budget.values} a table may have`;
}

/**
 * Separates events, each on a line begun by the next password, from whatever else the process
 * prints. An event may follow text on the same line, where a cell wrote without ending its line.
 *
 * @throws {OverBudget} As soon as more has come than a notebook may show.
 */
export async function* splitEvents(
  stream: ReadableStream<Uint8Array>,
  passwords: readonly string[],
  most: Budget = budget,
): AsyncGenerator<GuestEvent | GuestText> {
  const decoder = new TextDecoder();
  const words = passwords[Symbol.iterator]();
  let password = words.next().value;
  let held: string[] = [];
  let heldLength = 0;
  let length = 0;
  const split = function* (line: string, end: string): Generator<GuestEvent | GuestText> {
    const at = password === undefined ? -1 : line.indexOf(password);
    if (at < 0 || password === undefined) {
      yield { type: "text", text: line + end };
      return;
    }
    if (at > 0) yield { type: "text", text: line.slice(0, at) };
    const text = line.slice(at + password.length);
    password = words.next().value;
    yield readEvent(text);
  };
  for await (const bytes of stream) {
    const chunk = decoder.decode(bytes, { stream: true });
    length += chunk.length;
    if (length > most.notebook) throw new OverBudget(`showed more than ${millions(most.notebook)}`);
    const breakAt = chunk.lastIndexOf("\n");
    if (breakAt < 0) {
      held.push(chunk);
      heldLength += chunk.length;
      if (heldLength > most.shown) {
        throw new OverBudget(`showed more than ${millions(most.shown)} at once`);
      }
      continue;
    }
    const lines = (held.join("") + chunk.slice(0, breakAt)).split("\n");
    held = [chunk.slice(breakAt + 1)];
    heldLength = held[0]?.length ?? 0;
    for (const line of lines) yield* split(line, "\n");
  }
  const rest = held.join("") + decoder.decode();
  if (rest !== "") yield* split(rest, "");
}

/** A number of letters in words. */
export function millions(letters: number): string {
  return `${letters / 1e6} million letters`;
}

function readEvent(text: string): GuestEvent {
  const raw = parsedJson(text);
  const event = eventSchema.safeParse(raw);
  if (event.success) return event.data;
  const head = z.object({ cell }).safeParse(raw);
  return { type: "unreadable", cell: head.success ? head.data.cell : 0 };
}

function parsedJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
