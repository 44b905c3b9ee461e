import {
  binaryColumn,
  checkChoice,
  checkConfidence,
  checkDataColumns,
  DataError,
  distributions,
  extentOf,
  type Interval,
  meanOf,
  numberColumn,
  type Numbers,
  type Test,
} from "../../numerics/mod.ts";
import { jointTest, linearRegression, logisticRegression } from "../../regression/models/mod.ts";
import { proportionInterval } from "../../regression/rates/mod.ts";
import {
  type FittedModel,
  type OutcomeKind,
  type Predictions,
  standardizedPredictions,
} from "../predictions/mod.ts";

/** What was seen and fitted in one calendar year. */
export interface TrendYear {
  /** Calendar year. */
  year: number;
  /** Rows. */
  n: number;
  /** Operations with the event; absent for an amount. */
  events?: number;
  /** Share (Wilson limits) or mean (Student's limits; none with one operation). */
  observed: { estimate: number; lower: number; upper: number };
}

/** What changed at one of the planned dates; log odds for an event, the amount's unit otherwise. */
export interface TrendChange {
  /** When, in calendar years. */
  date: number;
  /** The level, at the date. */
  step: Interval & { pValue: number };
  /** The slope from then on, a year, less the slope before. */
  slope: Interval & { pValue: number };
  /** That neither changed. */
  test: Test;
}

/** How an outcome moved over calendar years. */
export interface SegmentedTrend {
  /** One a year. */
  years: TrendYear[];
  /** Change a year before the first date; log odds for an event. */
  slope: Interval & { pValue: number };
  /** One a planned change. */
  changes: TrendChange[];
  /** The model with the case mix held alike, at `fitted.time`. */
  fitted: Predictions & { time: Float64Array };
  /** The same, had the first slope gone on: what the dates are compared with. */
  unchanged: Predictions & { time: Float64Array };
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, when `converged` is false. */
  reason?: string;
}

/**
 * How an outcome moves over the years, allowed to change its level and its slope at given dates: a
 * segmented regression (interrupted time series).
 *
 * Logistic for an event, linear with robust errors for an amount: constant, slope a year, and for
 * each date a step and a change of slope. Dates must have been named beforehand (a new technique, a
 * heart team): a date found in the series would find a change by itself. A change at a date has
 * other causes than what is thought to have changed then. Cost: that of the regression.
 *
 * @example
 * ```ts ignore
 * import { segmentedTrend } from "mitral";
 *
 * segmentedTrend({ outcome: repaired, time: year, covariates }, { dates: [2016] }).changes[0]?.step;
 * ```
 * @param data.time Calendar time in years, such as 2014.5.
 * @param data.covariates Case mix to hold alike.
 * @param data.weight What each row stands for, above 0 (such as rows lost from sight
 * before an answer);
 * errors are then robust, and years' limits those of the effective number.
 * @param options.dates In years, ascending, each with operations before and after.
 * @throws {DataError}
 * @see Wagner et al. (2002) J Clin Pharm Ther 27:299-309.
 */
export function segmentedTrend(
  data: {
    outcome: Numbers;
    time: Numbers;
    covariates?: Record<string, Numbers>;
    weight?: Numbers;
  },
  options: { kind?: OutcomeKind; dates?: readonly number[]; confidence?: number } = {},
): SegmentedTrend {
  checkDataColumns("segmentedTrend", data, ["outcome", "time", "covariates", "weight"]);
  const confidence = checkConfidence(options.confidence);
  const kind = checkChoice("kind", options.kind ?? "event", ["event", "amount"]);
  const outcome = kind === "event"
    ? Float64Array.from(binaryColumn("outcome", data.outcome))
    : numberColumn("outcome", data.outcome);
  const time = numberColumn("time", data.time, { length: outcome.length });
  const weight = data.weight &&
    numberColumn("weight", data.weight, { length: outcome.length, above: 0 });
  const dates = checkedDates(options.dates ?? [], time);
  const { covariates = {} } = data;
  const origin = dates[0] ?? meanOf(time);
  const design = { ...covariates, ...trendColumns(time, origin, dates) };
  const rows = { outcome, covariates: design, ...(weight && { weight }) };
  const model = fittedModel(kind, rows, confidence);
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  const [first, last] = extentOf(time);
  const grid = gridOf(first, last, dates);
  const predictions = (columns: Record<string, Numbers>, at: Float64Array) => ({
    time: at,
    ...standardizedPredictions(model, design, columns, { kind, z }),
  });
  const onwards = trendColumns(grid, origin, dates);
  const asBefore = Object.fromEntries(
    Object.entries(onwards).map(([name, column]) => [
      name,
      name === names.slope ? column : column.map(() => 0),
    ]),
  );
  const term = (name: string) => termOf(model, name, z);
  return {
    years: yearsOf(kind, { outcome, time, weight }, confidence),
    slope: term(names.slope),
    changes: dates.map((date) => ({
      date,
      step: term(names.step(date)),
      slope: term(names.bend(date)),
      test: jointTest(model, [names.step(date), names.bend(date)]),
    })),
    fitted: predictions(onwards, grid),
    unchanged: predictions(asBefore, grid),
    converged: model.converged,
    ...(model.reason !== undefined && { reason: model.reason }),
  };
}

const names = {
  slope: "calendar year",
  step: (date: number) => `step at ${date}`,
  bend: (date: number) => `change of slope at ${date}`,
};

function trendColumns(
  time: Float64Array,
  origin: number,
  dates: readonly number[],
): Record<string, Float64Array> {
  const columns: Record<string, Float64Array> = { [names.slope]: time.map((t) => t - origin) };
  for (const date of dates) {
    columns[names.step(date)] = time.map((t) => t >= date ? 1 : 0);
    columns[names.bend(date)] = time.map((t) => Math.max(0, t - date));
  }
  return columns;
}

function checkedDates(dates: readonly number[], time: Float64Array): readonly number[] {
  dates.forEach((date, i) => {
    if (i > 0 && !(date > dates[i - 1]!)) throw new DataError("dates", "ascending", date, i);
    if (!time.some((t) => t < date) || !time.some((t) => t >= date)) {
      throw new DataError("dates", "within the years of the operations", date, i);
    }
  });
  return dates;
}

function fittedModel(
  kind: OutcomeKind,
  rows: { outcome: Float64Array; covariates: Record<string, Numbers>; weight?: Float64Array },
  confidence: number,
): FittedModel {
  if (kind === "amount") {
    const { terms, covariance } = linearRegression(rows, { confidence });
    return { terms, covariance, converged: true };
  }
  const fit = logisticRegression(rows, { confidence });
  const { terms, converged, reason } = fit;
  const covariance = fit.robustCovariance ?? fit.covariance;
  return { terms, covariance, converged, ...(reason !== undefined && { reason }) };
}

/** A term's estimate and limits; none where the model had to leave it out. */
function termOf(model: FittedModel, name: string, z: number): Interval & { pValue: number } {
  const q = model.terms.length;
  const j = model.terms.findIndex((term) => term.name === name);
  if (j < 0) {
    return { estimate: NaN, standardError: NaN, lower: NaN, upper: NaN, pValue: NaN };
  }
  const estimate = model.terms[j]!.coefficient;
  const standardError = Math.sqrt(model.covariance[j * q + j]!);
  return {
    estimate,
    standardError,
    lower: estimate - z * standardError,
    upper: estimate + z * standardError,
    pValue: distributions.normalTwoSided(estimate / standardError),
  };
}

/** Four points a year, and each date from just before and from on it, so that a step is upright. */
function gridOf(first: number, last: number, dates: readonly number[]): Float64Array {
  const points = Math.max(2, Math.ceil(4 * (last - first)) + 1);
  const even = Array.from({ length: points }, (_, k) => first + (last - first) * k / (points - 1));
  return Float64Array.from([...even, ...dates.flatMap((date) => [date - 1e-9, date])])
    .sort();
}

function yearsOf(
  kind: OutcomeKind,
  { outcome, time, weight }: {
    outcome: Float64Array;
    time: Float64Array;
    weight: Float64Array | undefined;
  },
  confidence: number,
): TrendYear[] {
  const rows = Map.groupBy(outcome.keys(), (i) => Math.floor(time[i]!));
  return [...rows].sort(([a], [b]) => a - b).map(([year, members]) => {
    const n = members.length;
    const sum = members.reduce((total, i) => total + outcome[i]!, 0);
    if (kind === "event" && !weight) {
      return { year, n, events: sum, observed: proportionInterval(sum, n, { confidence }) };
    }
    const of = (i: number) => weight?.[i] ?? 1;
    const total = members.reduce((all, i) => all + of(i), 0);
    const effective = total ** 2 / members.reduce((all, i) => all + of(i) ** 2, 0);
    const estimate = members.reduce((all, i) => all + of(i) * outcome[i]!, 0) / total;
    if (kind === "event") {
      const observed = shareInterval(estimate, effective, confidence);
      return { year, n, events: sum, observed };
    }
    const squares = members.reduce((all, i) => all + of(i) * (outcome[i]! - estimate) ** 2, 0);
    const reach = effective > 1
      ? distributions.studentUpperQuantile((1 - confidence) / 2, effective - 1) *
        Math.sqrt(squares / total / (effective - 1))
      : NaN;
    return { year, n, observed: { estimate, lower: estimate - reach, upper: estimate + reach } };
  });
}

/** Wilson's limits of a share that rests on an effective number of rows. */
function shareInterval(
  estimate: number,
  n: number,
  confidence: number,
): { estimate: number; lower: number; upper: number } {
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  const centre = (estimate + z * z / (2 * n)) / (1 + z * z / n);
  const reach = z * Math.sqrt(estimate * (1 - estimate) / n + (z / n / 2) ** 2) / (1 + z * z / n);
  return { estimate, lower: Math.max(0, centre - reach), upper: Math.min(1, centre + reach) };
}
