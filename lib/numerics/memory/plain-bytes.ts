import { createHash } from "node:crypto";

/** SHA-256 of plain data, in hexadecimal: see {@link plainBytes}. */
export function plainHash(value: unknown): string {
  const hash = createHash("sha256");
  for (const bytes of plainBytes(value)) hash.update(bytes);
  return hash.digest("hex");
}

/**
 * Plain data as bytes, for a hash: other data, other bytes. Numbers in typed arrays are taken as
 * they lie in memory.
 *
 * @throws {TypeError} on what is no plain data: a function, or an object of a kind of its own.
 */
function* plainBytes(value: unknown): Generator<Uint8Array> {
  if (ArrayBuffer.isView(value)) {
    const { buffer, byteOffset, byteLength } = value;
    yield text(`${value.constructor.name} ${byteLength}\n`);
    yield new Uint8Array(buffer, byteOffset, byteLength);
  } else if (Array.isArray(value)) {
    yield text(`list ${value.length}\n`);
    for (const one of value) yield* plainBytes(one);
  } else if (typeof value === "object" && value !== null) {
    if (!plain.has(Object.getPrototypeOf(value))) throw new TypeError("plain data expected");
    const entries = Object.entries(value).filter(([, one]) => one !== undefined);
    yield text(`record ${entries.length}\n`);
    for (const [name, one] of entries) {
      yield* plainBytes(name);
      yield* plainBytes(one);
    }
  } else if (typeof value === "string") {
    const bytes = text(value);
    yield text(`text ${bytes.length}\n`);
    yield bytes;
  } else if (typeof value === "function" || typeof value === "symbol") {
    throw new TypeError(`plain data expected, got a ${typeof value}`);
  } else {
    // -0 is another number than 0
    yield text(`${typeof value} ${Object.is(value, -0) ? "-0" : String(value)}\n`);
  }
}

/** What a record stands on. */
const plain = new Set<unknown>([Object.prototype, null]);

const encoder = new TextEncoder();
const text = (said: string) => encoder.encode(said);
