import {
  checkDataColumns,
  DataError,
  type FollowUp,
  numberColumn,
  type Numbers,
  orderOf,
} from "../../numerics/mod.ts";
import { knownAt } from "./censoring-weights.ts";

/**
 * Area under the receiver operating curve of a score at a horizon: the chance that of a patient
 * with the event by then and one without it, the first has the higher score; equal scores
 * count a half.
 *
 * Cases had the event (of `cause`) by `at`; controls are everyone else whose state is known, those
 * with another cause by then among them. Both are weighted for those censored before, as in
 * `brierScore`. Cost O(n log n).
 *
 * @example
 * ```ts
 * import { areaUnderCurve } from "mitral";
 * areaUnderCurve({ time: [1, 2, 3, 4], event: [1, 1, 0, 0], score: [3, 1, 2, 0] }, { at: 2 }); // 0.75
 * ```
 * @param data.score Higher means an earlier event.
 * @param options.cause Default 1.
 * @throws {DataError} for a value out of range, a horizon past the last observed time, or no case
 * or no control by then.
 * @see Blanche, Dartigues & Jacqmin-Gadda (2013) Stat Med 32:5381-5397.
 */
export function areaUnderCurve(
  data: FollowUp & { score: Numbers },
  options: { at: number; cause?: number },
): { estimate: number } {
  checkDataColumns("areaUnderCurve", data, ["time", "event", "weight", "score"]);
  const { n, outcome, weight } = knownAt(data, options);
  const score = numberColumn("score", data.score, { length: n });
  const order = orderOf(score);
  let cases = 0;
  let controls = 0; // so far: those with lower scores
  let favourable = 0;
  for (let i = 0; i < n;) {
    const value = score[order[i]!]!;
    let casesHere = 0;
    let controlsHere = 0;
    for (; i < n && score[order[i]!] === value; i++) {
      const row = order[i]!;
      if (outcome[row] === 1) casesHere += weight[row]!;
      else controlsHere += weight[row]!;
    }
    favourable += casesHere * (controls + controlsHere / 2);
    cases += casesHere;
    controls += controlsHere;
  }
  if (!(cases > 0)) {
    throw new DataError("at", "a time by which some have had the event", options.at);
  }
  if (!(controls > 0)) {
    throw new DataError("at", "a time by which some have not had the event", options.at);
  }
  return { estimate: favourable / (cases * controls) };
}
