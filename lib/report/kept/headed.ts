import { sha256 } from "../../numerics/memory/mod.ts";

type Bytes = Uint8Array<ArrayBuffer>;

/** Two hashes of 64 letters, each with the end of its line. */
const headLength = 130;

/** Content behind what it is from and its own hash. */
export function withHead(content: Bytes, from: string): Bytes {
  const head = new TextEncoder().encode(`${from}\n${sha256(content)}\n`);
  const whole = new Uint8Array(head.length + content.length);
  whole.set(head);
  whole.set(content, head.length);
  return whole;
}

/** The content, where it is from what it is wanted from, and as it was written. */
export function withoutHead(whole: Bytes, from: string): Bytes | undefined {
  const [own, hash] = new TextDecoder().decode(whole.subarray(0, headLength)).split("\n");
  const content = whole.slice(headLength);
  return own === from && hash === sha256(content) ? content : undefined;
}
