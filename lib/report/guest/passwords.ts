import type { RunPaths } from "../../study/file/mod.ts";

/**
 * What a notebook's process is told on its standard input before any code of the notebook runs: one
 * line of JSON, then the bytes of its passwords up to the end.
 */
export interface Greeting {
  /** Address of the notebook's module. */
  module: string;
  /** Code cells in it. */
  cells: number;
  /** Events it may tell of. */
  events: number;
  /** The run's files. */
  files: RunPaths;
  /** Width at which each figure is drawn a second time, where it is to be printed. */
  wideWidth?: number;
}

const bytesOfPassword = 16;

/**
 * Passwords for single use, in the order of use: each event begins with the next. One that was seen
 * is worth nothing any more, and those to come stand in memory as plain bytes, which neither a
 * snapshot of the heap nor any object a notebook can reach shows.
 */
export function passwords(count: number): { bytes: Uint8Array<ArrayBuffer>; words: string[] } {
  const bytes = new Uint8Array(count * bytesOfPassword);
  const most = 65536; // what one call fills
  for (let at = 0; at < bytes.length; at += most) {
    crypto.getRandomValues(bytes.subarray(at, at + most));
  }
  const words = Array.from(
    { length: count },
    (_, k) => bytes.subarray(k * bytesOfPassword, (k + 1) * bytesOfPassword).toHex(),
  );
  return { bytes, words };
}

/** The bytes of a greeting with its passwords. */
export function greetingFor(
  greeting: Greeting,
  bytes: Uint8Array<ArrayBuffer>,
): Uint8Array<ArrayBuffer> {
  const line = new TextEncoder().encode(`${JSON.stringify(greeting)}\n`);
  const all = new Uint8Array(line.length + bytes.length);
  all.set(line);
  all.set(bytes, line.length);
  return all;
}
