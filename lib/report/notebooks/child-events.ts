import { z } from "zod";
import { type ShownItem, shownItemSchema } from "../items/mod.ts";

const cell = z.number().int().nonnegative();

/**
 * What a child says, held against this shape where it crosses from its process: what a notebook
 * shows is its own, and any cell may write a line that looks like an event.
 */
const eventSchema = z.discriminatedUnion("type", [
  z.object({ type: z.enum(["cell", "end"]), cell }),
  z.object({
    type: z.literal("stream"),
    cell,
    name: z.enum(["stdout", "stderr"]),
    text: z.string(),
  }),
  z.object({
    type: z.literal("output"),
    cell,
    as: z.enum(["display", "result"]),
    bundle: z.record(z.string(), z.unknown()),
    item: z.unknown().optional().transform(readItem),
  }),
  z.object({
    type: z.literal("error"),
    cell,
    name: z.string(),
    message: z.string(),
    stack: z.string(),
  }),
]);

/** What the child tells its parent; see child-runtime.ts. */
export type ChildEvent = z.output<typeof eventSchema>;

/** A figure, table, finding or note; or why it is none, where it says that it is one. */
export interface ReceivedItem {
  item?: ShownItem;
  unreadable?: string;
}

function readItem(raw: unknown): ReceivedItem {
  if (raw === undefined || raw === null) return {};
  const parsed = shownItemSchema.safeParse(raw);
  if (parsed.success) return { item: parsed.data };
  const issue = parsed.error.issues[0];
  return { unreadable: `${issue?.path.join(".")}: ${issue?.message}` };
}

/** Text the child printed past the runtime. */
export interface ChildText {
  type: "text";
  text: string;
}

/**
 * Separates events, each on a line begun by the nonce, from whatever else the child prints. An
 * event may follow text on the same line, where a cell wrote without ending its line.
 */
export async function* splitEvents(
  stream: ReadableStream<Uint8Array>,
  nonce: string,
): AsyncGenerator<ChildEvent | ChildText> {
  const decoder = new TextDecoder();
  let held: string[] = [];
  for await (const bytes of stream) {
    const chunk = decoder.decode(bytes, { stream: true });
    const breakAt = chunk.lastIndexOf("\n");
    if (breakAt < 0) {
      held.push(chunk);
      continue;
    }
    const lines = (held.join("") + chunk.slice(0, breakAt)).split("\n");
    held = [chunk.slice(breakAt + 1)];
    for (const line of lines) yield* splitLine(line, nonce, "\n");
  }
  const rest = held.join("") + decoder.decode();
  if (rest !== "") yield* splitLine(rest, nonce, "");
}

function* splitLine(
  line: string,
  nonce: string,
  end: string,
): Generator<ChildEvent | ChildText> {
  const at = line.indexOf(nonce);
  if (at < 0) {
    yield { type: "text", text: line + end };
    return;
  }
  if (at > 0) yield { type: "text", text: line.slice(0, at) };
  const event = eventSchema.safeParse(parsedJson(line.slice(at + nonce.length)));
  yield event.success ? event.data : { type: "text", text: line.slice(at) + end };
}

function parsedJson(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}
