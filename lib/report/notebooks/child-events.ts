import type { MediaBundle } from "../show/mod.ts";

/** What the child tells its parent; see child-runtime.ts. */
export type ChildEvent =
  | { type: "cell" | "end"; cell: number }
  | { type: "stream"; cell: number; name: "stdout" | "stderr"; text: string }
  | { type: "output"; cell: number; as: "display" | "result"; bundle: MediaBundle; item: unknown }
  | { type: "error"; cell: number; name: string; message: string; stack: string };

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
  // written by child-runtime.ts, which this project owns: the shape is not checked again
  yield JSON.parse(line.slice(at + nonce.length)) as ChildEvent;
}
