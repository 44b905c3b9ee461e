import {
  binaryColumn,
  checkConfidence,
  checkDataColumns,
  checkNumber,
  DataError,
  directionOf,
  type FollowUp,
  followUpColumns,
  groupColumn,
  type Labels,
  type Numbers,
  type Test,
  turned,
} from "../../numerics/mod.ts";
import { mcnemarTest } from "../../regression/tests/mod.ts";
import { proportionInterval } from "../../regression/rates/mod.ts";

/** An event by a fixed time in matched pairs; see {@link pairedOutcome}. */
export interface PairedOutcome {
  /** Years after operation. */
  time: number;
  /** Pairs in which it is known of both, by who had the event. */
  pairs: { both: number; treatedOnly: number; controlOnly: number; neither: number; used: number };
  /**
   * Pairs not used: one of the two, or both, left observation before; or the partner is missing.
   */
  notUsed: { unknown: number; incomplete: number };
  /** Share with the event among the pairs used. */
  proportions: { treated: number; control: number };
  /** "treated - control", or "control - treated" where the treated are the reference. */
  direction: string;
  /** Along the direction, with score limits for paired proportions; NaN without a pair. */
  difference: { estimate: number; lower: number; upper: number };
  /** McNemar's; p 1 without discordant pairs. */
  test: Test & { exactPValue: number; corrected: Test };
}

/**
 * Matched pairs compared in whether the event had happened by a fixed time (McNemar).
 *
 * Known of a patient whose event came at or before `at`, and of one still under observation then.
 * A pair counts only where it is known of both. **The others are left out**, which is harmless only
 * where censoring before `at` has nothing to do with the outcome, and costs information
 * in any case:
 * read the count first. Differences of curves use everybody.
 *
 * Limits of the difference: Newcombe's tenth method, from the Wilson limits of both proportions and
 * their correlation. Cost O(n log n).
 *
 * @example Dead within a year
 * ```ts
 * import { pairedOutcome } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 1, 1, 0, 1, 0, 1, 0, 1, 0, 0];
 * const treated = [0, 1, 0, 1, 1, 0, 0, 1, 0, 1, 0, 1];
 * const pair = [1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6];
 * pairedOutcome({ time, event, treated, pair }, { at: 1 }).notUsed.unknown;
 * ```
 * @param data.event 0 or 1; for a non-fatal event with death competing, 1 for the event alone and
 * a time beyond `at` for whoever died without it, of whom it is known that it did not happen.
 * @param data.pair The same label for the two of a pair.
 * @throws {DataError} on bad columns, or a pair with more than one of a group.
 * @see McNemar (1947) Psychometrika 12:153-157; Newcombe (1998) Stat Med 17:2635-2650.
 */
export function pairedOutcome(
  data: Pick<FollowUp, "time" | "event"> & { treated: Numbers; pair: Labels },
  options: { at: number; confidence?: number; reference?: "treated" | "control" },
): PairedOutcome {
  checkDataColumns("pairedOutcome", data, ["time", "event", "treated", "pair"]);
  const confidence = checkConfidence(options.confidence);
  const { direction, sign } = directionOf(["control", "treated"], options.reference);
  const at = checkNumber("at", options.at, (t) => t >= 0 && t < Infinity, "a finite number >= 0");
  const { time, event } = data;
  const columns = followUpColumns({ time, event });
  const { n } = columns;
  const treated = binaryColumn("treated", data.treated, n);
  const { codes, labels } = groupColumn("pair", data.pair, n);
  const rowOf = [0, 1].map(() => new Int32Array(labels.length).fill(-1));
  for (let row = 0; row < n; row++) {
    const side = rowOf[treated[row]!]!;
    if (side[codes[row]!] !== -1) {
      throw new DataError("pair", "one row of each group at most", labels[codes[row]!], row);
    }
    side[codes[row]!] = row;
  }
  const happened = (row: number) =>
    columns.time[row]! <= at && columns.event[row]! > 0 ? 1 : columns.time[row]! >= at ? 0 : NaN;
  const counts = [[0, 0], [0, 0]]; // by treated, then control
  const notUsed = { unknown: 0, incomplete: 0 };
  for (let pair = 0; pair < labels.length; pair++) {
    const [control, one] = [rowOf[0]![pair]!, rowOf[1]![pair]!];
    if (control < 0 || one < 0) {
      notUsed.incomplete++;
      continue;
    }
    const [a, b] = [happened(one), happened(control)];
    if (Number.isNaN(a) || Number.isNaN(b)) notUsed.unknown++;
    else counts[a]![b]!++;
  }
  const [[neither, controlOnly], [treatedOnly, both]] = counts as [
    [number, number],
    [number, number],
  ];
  const pairs = {
    both,
    treatedOnly,
    controlOnly,
    neither,
    used: both + treatedOnly + controlOnly + neither,
  };
  const share = (events: number) => pairs.used > 0 ? events / pairs.used : NaN;
  return {
    time: at,
    pairs,
    notUsed,
    proportions: { treated: share(both + treatedOnly), control: share(both + controlOnly) },
    direction,
    difference: turned(pairedDifference(pairs, confidence), sign),
    test: mcnemarTest(treatedOnly, controlOnly),
  };
}

/** Newcombe's method 10, with his continuity correction of the correlation. */
function pairedDifference(
  { both, treatedOnly, controlOnly, neither, used }: PairedOutcome["pairs"],
  confidence: number,
) {
  if (used === 0) return { estimate: NaN, lower: NaN, upper: NaN };
  const one = proportionInterval(both + treatedOnly, used, { confidence });
  const other = proportionInterval(both + controlOnly, used, { confidence });
  const product = (both + treatedOnly) * (controlOnly + neither) * (both + controlOnly) *
    (treatedOnly + neither);
  const cross = both * neither - treatedOnly * controlOnly;
  const corrected = cross > 0 ? Math.max(0, cross - used / 2) : cross;
  const correlation = product === 0 ? 0 : corrected / Math.sqrt(product);
  const spread = (a: number, b: number) => Math.sqrt(a * a - 2 * correlation * a * b + b * b);
  const estimate = (treatedOnly - controlOnly) / used;
  return {
    estimate,
    lower: estimate - spread(one.estimate - one.lower, other.upper - other.estimate),
    upper: estimate + spread(one.upper - one.estimate, other.estimate - other.lower),
  };
}
