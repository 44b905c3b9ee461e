import { errorOutput, type ProgressTarget } from "./progress-target.ts";

/** Milliseconds between two lines: where one line is written anew, and elsewhere. */
const apart = { terminal: 500, elsewhere: 10_000 };

/** Lines on progress, each some time after the one before. */
export interface ToldLines {
  /** Whether it is time for another line. */
  isDue(now: number): boolean;
  /** Counts the time to the next line from here, as where another file begins. */
  begin(now: number): void;
  /** Writes a line, on a terminal over the one before. */
  tell(line: string, now: number): void;
  /** Leaves the line that is written anew, if there is one. */
  end(): void;
}

/**
 * Writes how far something has come: on a terminal in one line that is written anew, elsewhere in a
 * line every ten seconds. What is over sooner is not told of.
 */
export function toldLines(target: ProgressTarget = errorOutput()): ToldLines {
  let last = target.now();
  let open = false;
  return {
    isDue: (now) => now - last >= (target.isTerminal ? apart.terminal : apart.elsewhere),
    begin: (now) => {
      last = now;
    },
    tell(line, now) {
      last = now;
      target.write(target.isTerminal ? `\r\x1b[2K${line}` : `${line}\n`);
      open = target.isTerminal;
    },
    end() {
      if (open) target.write("\n");
      open = false;
    },
  };
}
