import { errorOutput, type ProgressTarget } from "../../study/file/mod.ts";
import { timeLeftText } from "../../words/mod.ts";
import type { ReadingProgress } from "./file-format.ts";

/** Milliseconds between two lines: where one line is written anew, and elsewhere. */
const apart = { terminal: 500, elsewhere: 10_000 };

/**
 * Tells how far the reading of a file has come, and how long it will still take. Nothing is said of
 * a file that is read within that time.
 *
 * @returns What to hand on as `progress`, and what to call at the end.
 */
export function readingLines(target: ProgressTarget = errorOutput()): {
  progress(reading: ReadingProgress): void;
  end(): void;
} {
  let file = "";
  let began = target.now();
  let last = began;
  let before = 0;
  let open = false;
  return {
    progress(reading) {
      const now = target.now();
      // another file, or the same from its beginning
      if (reading.file !== file || reading.bytes < before) {
        file = reading.file;
        began = last = now;
      }
      before = reading.bytes;
      if (now - last < (target.isTerminal ? apart.terminal : apart.elsewhere)) return;
      last = now;
      const { rows, bytes, total } = reading;
      const share = total > 0 ? `, ${Math.round(100 * bytes / total)}%` : "";
      const left = timeLeftText(bytes, total, (now - began) / 1000);
      const line = `${file}: ${rows} rows${share}${left === "" ? "" : `, ${left}`}`;
      target.write(target.isTerminal ? `\r\x1b[2K${line}` : `${line}\n`);
      open = target.isTerminal;
    },
    end() {
      if (open) target.write("\n");
      open = false;
    },
  };
}
