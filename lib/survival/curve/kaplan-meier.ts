import {
  checkChoice,
  checkConfidence,
  checkDataColumns,
  distributions,
  FOLLOW_UP,
  type FollowUp,
  type FollowUpColumns,
  followUpColumns,
  groupColumn,
  type Labels,
  type Numbers,
} from "../../numerics/mod.ts";
import { type FewEventsLimits, fewEventsLimits } from "./few-events.ts";
import { type EventTable, eventTable, partsOf } from "./event-table.ts";
import { fillLimits, LIMIT_SCALES, type LimitScale } from "./limits.ts";
import { jackknifeLogVariance } from "./robust-variance.ts";
import { type CurveAt, curveAt, curveQuantile } from "./curve-values.ts";

/** Options of {@link kaplanMeier}. */
export interface KaplanMeierOptions {
  /** Level of the pointwise limits, default 0.95. */
  confidence?: number;
  /**
   * Scale on which the limits are symmetric, default "log-log"; or "few-events" for limits that
   * stay honest where few events or none were seen (see {@link fewEventsLimits}).
   */
  interval?: LimitScale | "few-events";
  /** Default "robust" where weights or clusters are given, "greenwood" otherwise. */
  variance?: "greenwood" | "robust";
}

/** A Kaplan-Meier curve: one row per distinct observed time, ascending. */
export interface KaplanMeier {
  /** Rows of data. */
  n: number;
  /** Rows with the event. */
  events: number;
  /** Level of the limits. */
  confidence: number;
  /** How the limits were made. */
  interval: LimitScale | "few-events";
  /** Where the standard errors come from. */
  variance: "greenwood" | "robust";
  /** Times, in the unit given. */
  time: Float64Array;
  /** At risk just before each time, weighted where there are weights. */
  atRisk: Float64Array;
  /** Rows at risk just before each time. */
  atRiskCount: Float64Array;
  /** Events, weighted where there are weights. */
  event: Float64Array;
  /** Censorings, weighted where there are weights. */
  censored: Float64Array;
  /** S(t), right-continuous. */
  survival: Float64Array;
  /** Of S(t); NaN where S(t) = 0. */
  standardError: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
  /** The curve at any times; NaN past the last observed time unless survival has reached 0. */
  at(times: Numbers): CurveAt;
  /** Time by which a share p has had the event; NaN where it is not reached. */
  quantile(p: number): { estimate: number; lower: number; upper: number };
}

/**
 * Kaplan-Meier estimate of the probability S(t) of no event by time t.
 *
 * S(t) is the product over times t_j <= t of (n_j - d_j) / n_j, with n_j at risk and d_j events,
 * weighted sums where there are weights. Events precede censorings at one time, and censorings
 * precede entries: a row is at risk on (entry, time], a row without entry from time 0, 0 included,
 * so an event at time 0 counts and drops the curve at 0.
 *
 * Variance: Greenwood's, S^2 times the sum of d / (n (n - d)); with weights or clusters the
 * infinitesimal jackknife (robust: each row, or each cluster, is one independent unit). Rows that
 * are pieces of one subject's follow-up need that subject as their cluster for the robust form.
 *
 * Edges: before the first event S = 1, standard error 0, limits [1, 1], which is no certainty: ask
 * for the interval "few-events", whose limits by the beta product procedure need no normal error
 * (clusters do not enter it). Where S = 0 there is no
 * standard error and there are no limits (NaN); "everyone at risk failed" is decided by counting
 * rows, so S reaches exactly 0. With delayed entry that can happen early, while few are at risk;
 * S then stays 0.
 *
 * `quantile(p)`: smallest t with S(t) <= 1 - p; where S equals 1 - p (to 1e-8) over a flat step,
 * its midpoint, the last observed time ending the last step. Limits: the same rule on each band. A
 * band that is not monotone (few at risk early on, with delayed entry) is taken at the time of its
 * highest value at most 1 - p, which is the same thing where it falls throughout.
 *
 * Shapes: n rows in; columns of length m, the number of distinct observed times, out. Units: the
 * caller's time unit. Cost O(n log n) with one sort, and O(n) for either variance.
 *
 * For a non-fatal endpoint with deaths in between, use cumulativeIncidence: a second cause code is
 * refused here.
 *
 * @example Six subjects, the third and last censored
 * ```ts
 * import { kaplanMeier } from "mitral";
 * const curve = kaplanMeier({ time: [1, 2, 3, 4, 5, 6], event: [1, 1, 0, 1, 1, 0] });
 * curve.at([4]).survival[0]; // 5/6 * 4/5 * 2/3 = 0.4444
 * ```
 * @param data Follow-up; `cluster` labels rows that belong together, such as matched pairs.
 * @throws {DataError} for times, events, entries or weights out of range, or a bad option.
 * @see Kaplan & Meier (1958) JASA 53:457-481; Greenwood (1926); Efron (1981) JASA 76:312-319; few
 * events: Fay, Brittain & Proschan (2013) Biostatistics 14:723-736.
 */
export function kaplanMeier(
  data: FollowUp & { cluster?: Labels },
  options: KaplanMeierOptions = {},
): KaplanMeier {
  checkDataColumns("kaplanMeier", data, [...FOLLOW_UP, "cluster"]);
  const columns = followUpColumns(data);
  const cluster = data.cluster && groupColumn("cluster", data.cluster, columns.n);
  return curveOf(columns, options, cluster);
}

/**
 * One Kaplan-Meier curve a group, in ascending order of label; see {@link kaplanMeier}.
 *
 * @throws {DataError} as kaplanMeier, and for labels that are neither strings nor numbers.
 */
export function kaplanMeierByGroup(
  data: FollowUp & { group: Labels; cluster?: Labels },
  options: KaplanMeierOptions = {},
): { group: string | number; curve: KaplanMeier }[] {
  checkDataColumns("kaplanMeierByGroup", data, [...FOLLOW_UP, "group", "cluster"]);
  const columns = followUpColumns(data);
  const groups = groupColumn("group", data.group, columns.n);
  const cluster = data.cluster && groupColumn("cluster", data.cluster, columns.n);
  return partsOf(columns, groups).map((part, code) => ({
    group: groups.labels[code]!,
    curve: curveOf(part, options, cluster),
  }));
}

/** The curve of validated columns; other estimators start here too. */
export function curveOf(
  columns: FollowUpColumns,
  options: KaplanMeierOptions = {},
  cluster?: { codes: Int32Array; labels: ArrayLike<unknown> },
): KaplanMeier {
  const confidence = checkConfidence(options.confidence);
  const interval = checkChoice("interval", options.interval ?? "log-log", [
    ...LIMIT_SCALES,
    "few-events",
  ]);
  const variance = checkChoice(
    "variance",
    options.variance ?? (columns.weight || cluster ? "robust" : "greenwood"),
    ["greenwood", "robust"],
  );
  const table = eventTable(columns);
  const { survival, logVariance } = productLimit(table);
  const standardError = variance === "robust"
    ? jackknifeLogVariance(columns, table, cluster)
    : logVariance;
  for (let j = 0; j < survival.length; j++) {
    standardError[j] = survival[j]! > 0 ? survival[j]! * Math.sqrt(standardError[j]!) : NaN;
  }
  const { lower, upper, ...around } = interval === "few-events"
    ? fewEventsLimits(columns, table, confidence)
    : normalLimits(survival, standardError, interval, confidence);
  let events = 0;
  for (let j = 0; j < survival.length; j++) events += table.eventCount[j]!;
  const { time, atRisk, atRiskCount, event, censored } = table;
  const steps = { time, survival, standardError, lower, upper };
  return {
    n: columns.n,
    events,
    confidence,
    interval,
    variance,
    ...steps,
    atRisk,
    atRiskCount,
    event,
    censored,
    at: (times) => curveAt({ ...steps, ...around }, table, columns, times),
    quantile: (p) => curveQuantile(steps, p),
  };
}

function normalLimits(
  survival: Float64Array,
  standardError: Float64Array,
  scale: LimitScale,
  confidence: number,
): FewEventsLimits {
  const lower = new Float64Array(survival.length);
  const upper = new Float64Array(survival.length);
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  fillLimits(survival, standardError, scale, z, lower, upper);
  return { lower, upper, atStart: [1, 1] };
}

/** S(t) and Greenwood's variance of log S(t), NaN once everyone at risk has failed. */
export function productLimit(
  { atRisk, event, atRiskCount, eventCount }: EventTable,
): { survival: Float64Array; logVariance: Float64Array } {
  const rows = atRisk.length;
  const survival = new Float64Array(rows);
  const logVariance = new Float64Array(rows);
  let s = 1;
  let sum = 0;
  for (let j = 0; j < rows; j++) {
    // a time without events multiplies by 1 and adds 0, which costs less than asking
    const left = atRisk[j]! - event[j]!;
    if (eventCount[j] === atRiskCount[j]) {
      s = 0;
      sum = NaN;
    } else {
      s *= left / atRisk[j]!;
      sum += event[j]! / (atRisk[j]! * left);
    }
    survival[j] = s;
    logVariance[j] = sum;
  }
  return { survival, logVariance };
}
