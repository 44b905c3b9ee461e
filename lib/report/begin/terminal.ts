import type { Answerer } from "../../cohort/begin/mod.ts";

/** Puts questions on the terminal and takes a line for each; the end of the input stops. */
export function terminalAnswers(): Answerer {
  const lines = linesOf(Deno.stdin.readable);
  return async ({ lines: text, hint, proposal, trouble }) => {
    const asked = hint === undefined ? text : [...text, `  ${hint}`];
    console.log(`\n${trouble ?? asked.join("\n")}`);
    const enter = proposal === undefined ? "" : ` [${proposal}]`;
    Deno.stdout.writeSync(new TextEncoder().encode(`${enter} > `));
    const { value, done } = await lines.next();
    return done ? "stop" : value;
  };
}

async function* linesOf(stream: ReadableStream<Uint8Array>): AsyncGenerator<string, undefined> {
  let rest = "";
  for await (const chunk of stream.pipeThrough(new TextDecoderStream() as TransformStream)) {
    const lines = (rest + chunk).split(/\r?\n/);
    rest = lines.pop() ?? "";
    yield* lines;
  }
  if (rest !== "") yield rest;
  return undefined;
}
