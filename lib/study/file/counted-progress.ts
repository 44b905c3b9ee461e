import { timeLeftText } from "../../words/mod.ts";

/** Where progress is written; a terminal can have one of its lines written anew. */
export interface ProgressTarget {
  write(text: string): void;
  isTerminal: boolean;
  /** Milliseconds. */
  now(): number;
}

/** The error output of this program: what a command prints stays clean. */
export function errorOutput(): ProgressTarget {
  const encoder = new TextEncoder();
  return {
    write: (text) => Deno.stderr.writeSync(encoder.encode(text)),
    isTerminal: Deno.stderr.isTerminal(),
    now: () => performance.now(),
  };
}

/**
 * Tells how far something is that is counted, and how long it will still take: on a terminal in one
 * line that is written anew, elsewhere in a line every ten seconds.
 *
 * @param what What is counted, as in "replicates".
 */
export function countedProgress(
  what: string,
  target: ProgressTarget = errorOutput(),
): (done: number, all: number) => void {
  const began = target.now();
  let last = began;
  return (done, all) => {
    const now = target.now();
    const ended = done >= all;
    if (now - last < (target.isTerminal ? 500 : 10_000) && !(ended && target.isTerminal)) return;
    last = now;
    const left = timeLeftText(done, all, (now - began) / 1000);
    const line = `${what}: ${done} of ${all}${left === "" ? "" : `, ${left}`}`;
    target.write(target.isTerminal ? `\r\x1b[2K${line}${ended ? "\n" : ""}` : `${line}\n`);
  };
}
