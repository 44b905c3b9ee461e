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
