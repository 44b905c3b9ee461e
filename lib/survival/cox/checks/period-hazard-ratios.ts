import {
  checkDataColumns,
  chiSquareResult,
  DataError,
  FOLLOW_UP,
  numberColumn,
  type Numbers,
  type Test,
} from "../../../numerics/mod.ts";
import {
  type CoxData,
  type CoxFit,
  type CoxOptions,
  coxRegression,
  type CoxTerm,
} from "../model/mod.ts";
import { inverseForm } from "../likelihood/mod.ts";
import { splitFollowUp } from "../rows/mod.ts";

/** What {@link periodHazardRatios} gives. */
export interface PeriodHazardRatios {
  /** One row a period: its bounds, the events in it and the covariate's hazard ratio there. */
  periods: (CoxTerm & { from: number; to: number; events: number })[];
  /** Wald test that the hazard ratio is the same in all periods (those that can be estimated). */
  equality: Test;
  /** The fit behind it; the other covariates have one coefficient throughout. */
  fit: CoxFit;
}

/**
 * The hazard ratio of one covariate within each of several periods, for when it changes over time.
 *
 * Follow-up is split at the cuts and the covariate enters once a period. Choose the cuts before
 * looking: cuts found in the data exaggerate the change. Variance: as {@link coxRegression}; the
 * test of equality uses the robust covariance where there is one.
 *
 * @example
 * ```ts
 * import { periodHazardRatios } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 1, 1, 0, 1, 0, 1, 0, 1, 0, 0];
 * const death = { time, event };
 * const repair = [0, 1, 0, 1, 1, 0, 0, 1, 0, 1, 0, 1];
 * const age = [61, 72, 70, 55, 68, 75, 64, 71, 58, 66, 73, 60];
 * const { periods } = periodHazardRatios(
 *   { ...death, covariates: { repair, age } },
 *   { covariate: "repair", cuts: [1] }, // the first year, and after it
 * );
 * ```
 * @throws {DataError} As {@link splitFollowUp} and {@link coxRegression}; when no covariate has
 * that name.
 * @see Therneau & Grambsch (2000), Modeling Survival Data, sec. 6.5.
 */
export function periodHazardRatios(
  data: CoxData,
  options: CoxOptions & { covariate: string; cuts: Numbers },
): PeriodHazardRatios {
  checkDataColumns("periodHazardRatios", data, [...FOLLOW_UP, "covariates", "stratum", "cluster"]);
  const { covariate, ...fitOptions } = options;
  if (!Object.hasOwn(data.covariates ?? {}, covariate)) {
    throw new DataError("covariate", "the name of a covariate", covariate);
  }
  const cuts = numberColumn("cuts", options.cuts, { above: 0 });
  const pieces = splitFollowUp(data, cuts);
  const { [covariate]: column, ...others } = pieces.covariates;
  const bounds = [0, ...cuts, Infinity];
  const names = bounds.slice(0, -1).map((from, k) => `${covariate} (${from}, ${bounds[k + 1]}]`);
  const columns = names.map((_, k) => column!.map((x, i) => pieces.period[i] === k ? x : 0));
  const fit = coxRegression({
    time: pieces.time,
    event: pieces.event,
    entry: pieces.entry,
    ...(pieces.weight ? { weight: pieces.weight } : {}),
    ...labels("stratum", data.stratum, pieces.row),
    // Weights call for the sandwich, and the pieces of one row are not independent rows.
    ...labels("cluster", data.cluster ?? (data.weight && wholeRows(pieces.row)), pieces.row),
    covariates: {
      ...Object.fromEntries(names.map((name, k) => [name, columns[k]!])),
      ...others,
    },
  }, fitOptions);
  const events = new Array<number>(names.length).fill(0);
  pieces.event.forEach((event, i) => events[pieces.period[i]!]! += event);
  const periods = names.map((_, k) => ({
    ...fit.terms[k]!,
    from: bounds[k]!,
    to: bounds[k + 1]!,
    events: events[k]!,
  }));
  return { periods, equality: equalityOf(fit, names.length), fit };
}

/** Wald test of b_1 = b_0, b_2 = b_0, ... among the first coefficients that were estimated. */
function equalityOf(fit: CoxFit, count: number): Test {
  const p = fit.terms.length;
  const covariance = fit.robustCovariance ?? fit.covariance;
  const estimated = fit.terms.slice(0, count).flatMap((term, k) =>
    Number.isFinite(term.coefficient) && Number.isFinite(term.standardError) ? [k] : []
  );
  const [base, ...rest] = estimated;
  if (base === undefined) return chiSquareResult(0, 0);
  const cell = (a: number, b: number) => covariance[a * p + b]!;
  const difference = rest.map((k) => fit.terms[k]!.coefficient - fit.terms[base]!.coefficient);
  const variance = Float64Array.from(
    rest.flatMap((a) =>
      rest.map((b) => cell(a, b) - cell(a, base) - cell(base, b) + cell(base, base))
    ),
  );
  return chiSquareResult(inverseForm(variance, difference), rest.length);
}

function labels(
  key: "stratum" | "cluster",
  column: ArrayLike<string | number> | undefined,
  row: Int32Array,
): { stratum?: (string | number)[]; cluster?: (string | number)[] } {
  return column ? { [key]: Array.from(row, (i) => column[i]!) } : {};
}

/** Labels 0..n-1 of the rows before they were split. */
function wholeRows(row: Int32Array): Int32Array {
  return Int32Array.from({ length: row[row.length - 1]! + 1 }, (_, i) => i);
}
