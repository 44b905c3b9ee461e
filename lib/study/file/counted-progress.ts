import { timeLeftText } from "../../words/mod.ts";
import { errorOutput, type ProgressTarget } from "./progress-target.ts";
import { toldLines } from "./told-lines.ts";

/**
 * Tells how far something is that is counted, and how long it will still take, in lines as
 * {@link toldLines} writes them.
 *
 * @param what What is counted, as in "replicates".
 */
export function countedProgress(
  what: string,
  target: ProgressTarget = errorOutput(),
): (done: number, all: number) => void {
  const began = target.now();
  const lines = toldLines(target);
  return (done, all) => {
    const now = target.now();
    const ended = done >= all;
    if (lines.isDue(now) || (ended && target.isTerminal)) {
      const left = timeLeftText(done, all, (now - began) / 1000);
      lines.tell(`${what}: ${done} of ${all}${left === "" ? "" : `, ${left}`}`, now);
    }
    if (ended) lines.end();
  };
}
