import {
  binaryColumn,
  checkDataColumns,
  checkNumber,
  checkYears,
  DataError,
  distributions,
  groupColumn,
  type Labels,
  type Limits,
  numberColumn,
  type Numbers,
  type Test,
} from "../../numerics/mod.ts";
import { proportionInterval } from "./proportion-interval.ts";
import { rateInterval } from "./rate-interval.ts";

/** Events in one stretch of late follow-up; the rate is NaN without exposure. */
export interface RatePeriod {
  /** Where it begins, in the unit of time given; included. */
  from: number;
  /** Where it ends, in the same unit. */
  to: number;
  /** Events in the period. */
  events: number;
  /** Time at risk, such as patient-years. */
  exposure: number;
  /** Per 100 patient-years, exact Poisson limits. */
  rate: Limits;
}

/** Early and late events of one kind in one group. */
export interface LinearisedRate {
  /** Label of the group. */
  group: string | number;
  /** How many patients. */
  patients: number;
  /** Up to and on the early day: a share of patients, with exact limits. */
  early: {
    events: number;
    share: Limits;
    /** Without the event, and not followed until then (dead or lost). */
    notFollowed: number;
  };
  /** All of the follow-up after it. */
  late: RatePeriod;
  /** The late follow-up in stretches, where cuts were given. */
  periods: RatePeriod[];
  /**
   * Likelihood-ratio test that the late rate is one and the same in all stretches; absent with
   * fewer than two that have exposure, or without events. If it is not, the linearised
   * rate means little.
   */
  constant?: Test;
}

/**
 * Linearised rates of an event after a valve operation, early events apart from late ones.
 *
 * Early (default: to 30 days, the day included) the hazard is high and falling, so events are
 * counted as a share of patients. Late, events / exposure, per 100 patient-years, fair where the
 * hazard is roughly constant: see `constant`. Exposure runs from the early limit to the event or
 * the end of follow-up; each patient's first event counts.
 *
 * A rate is no risk: patients who die stop being at risk and the rate does not say how many were
 * spared by it. For risk use `cumulativeIncidence`. Cost O(n).
 *
 * @example
 * ```ts
 * import { linearisedRates } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 1, 1, 0, 1, 0, 1, 0, 1, 0, 0];
 * const group = [0, 1, 0, 1, 1, 0, 0, 1, 0, 1, 0, 1];
 * linearisedRates({ time, event, group }, { cuts: [1, 5] })[0]?.late.rate;
 * ```
 * @param data.time Years to the event or the end of follow-up. `event`: 1 had it at `time`.
 * @param options.early Default 30 days, in years.
 * @param options.cuts Ascending times after `early` at which the late follow-up is divided.
 * @throws {DataError} on bad columns, and for a time past 120 years, longer than
 * anybody is followed:
 * days or months given for years.
 * @see Akins et al. (2008) J Thorac Cardiovasc Surg 135:732-738; limits: Garwood (1936) Biometrika
 * 28:437-442; Clopper & Pearson (1934) Biometrika 26:404-413.
 */
export function linearisedRates(
  data: { time: Numbers; event: Numbers; group: Labels },
  options: { early?: number; cuts?: readonly number[]; per?: number; confidence?: number } = {},
): LinearisedRate[] {
  checkDataColumns("linearisedRates", data, ["time", "event", "group"]);
  const time = numberColumn("time", data.time, { min: 0 });
  const n = time.length;
  if (n === 0) throw new DataError("time", "at least one row");
  checkYears("time", time);
  const event = binaryColumn("event", data.event, n);
  const { codes, labels } = groupColumn("group", data.group, n);
  const early = checkNumber(
    "early",
    options.early ?? 30 / 365.25,
    (t) => t >= 0 && t < Infinity,
    "a finite number >= 0",
  );
  const edges = [early, ...options.cuts ?? [], Infinity];
  edges.forEach((edge, k) => {
    if (k > 0 && !(edge > edges[k - 1]!)) {
      throw new DataError("cuts", `ascending, after ${edges[k - 1]}`, edge, k - 1);
    }
  });
  const { per = 100, confidence } = options;
  return labels.map((group, code) => {
    const rows = Array.from({ length: n }, (_, i) => i).filter((i) => codes[i] === code);
    const count = (test: (i: number) => boolean) => rows.filter(test).length;
    const period = (from: number, to: number): RatePeriod => {
      const events = count((i) => event[i] === 1 && time[i]! > from && time[i]! <= to);
      const exposure = rows.reduce((sum, i) => sum + Math.max(0, Math.min(time[i]!, to) - from), 0);
      const rate = exposure > 0
        ? rateInterval(events, exposure, { per, confidence })
        : { estimate: NaN, lower: NaN, upper: NaN };
      return { from, to, events, exposure, rate };
    };
    const periods = edges.length > 2 ? edges.slice(1).map((to, k) => period(edges[k]!, to)) : [];
    const late = period(early, Infinity);
    const constant = sameRate(late, periods);
    const events = count((i) => event[i] === 1 && time[i]! <= early);
    return {
      group,
      patients: rows.length,
      early: {
        events,
        share: proportionInterval(events, rows.length, { method: "exact", confidence }),
        notFollowed: count((i) => event[i] === 0 && time[i]! < early),
      },
      late,
      periods,
      ...(constant && { constant }),
    };
  });
}

function sameRate(late: RatePeriod, periods: RatePeriod[]): Test | undefined {
  const used = periods.filter(({ exposure }) => exposure > 0);
  if (used.length < 2 || late.events === 0) return undefined;
  let statistic = 0;
  for (const { events, exposure } of used) {
    const expected = late.events * exposure / late.exposure;
    if (events > 0) statistic += 2 * events * Math.log(events / expected);
  }
  const degreesOfFreedom = used.length - 1;
  return {
    statistic,
    degreesOfFreedom,
    pValue: distributions.chiSquareUpper(statistic, degreesOfFreedom),
  };
}
