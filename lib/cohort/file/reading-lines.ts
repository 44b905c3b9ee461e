import { errorOutput, type ProgressTarget, toldLines } from "../../study/file/mod.ts";
import { timeLeftText } from "../../words/mod.ts";
import type { ReadingProgress } from "./file-format.ts";

/**
 * Tells how far the reading of a file has come, and how long it will still take. Nothing is said of
 * a file that is read before the first line is due.
 *
 * @returns What to hand on as `progress`, and what to call at the end.
 */
export function readingLines(target: ProgressTarget = errorOutput()): {
  progress(reading: ReadingProgress): void;
  end(): void;
} {
  let file = "";
  let began = target.now();
  let before = 0;
  const lines = toldLines(target);
  return {
    progress(reading) {
      const now = target.now();
      // another file, or the same from its beginning
      if (reading.file !== file || reading.bytes < before) {
        file = reading.file;
        began = now;
        lines.begin(now);
      }
      before = reading.bytes;
      if (!lines.isDue(now)) return;
      const { rows, bytes, total } = reading;
      const share = total > 0 ? `, ${Math.round(100 * bytes / total)}%` : "";
      const left = timeLeftText(bytes, total, (now - began) / 1000);
      lines.tell(`${file}: ${rows} rows${share}${left === "" ? "" : `, ${left}`}`, now);
    },
    end: lines.end,
  };
}
