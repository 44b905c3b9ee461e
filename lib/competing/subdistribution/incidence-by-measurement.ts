import {
  checkConfidence,
  checkDataColumns,
  checkNumber,
  checkWhole,
  DataError,
  FOLLOW_UP,
  type FollowUp,
  groupColumn,
  type Labels,
  type Numbers,
  quantileOfSorted,
} from "../../numerics/mod.ts";
import { splineBasis, splineKnots } from "../../regression/models/mod.ts";
import { subdistributionRegression } from "./subdistribution-regression.ts";
import { type MeasurementInteraction, measurementInteraction } from "../subgroups/mod.ts";
import type { SubdistributionFit } from "./fit.ts";

/** See {@link incidenceByMeasurement}. */
export interface IncidenceByMeasurement {
  /** Rows in the model, and those without the measurement. */
  n: number;
  /** How many of whom it is not known. */
  unknown: number;
  /** Where the curve may bend, in the unit of the measurement. */
  knots: number[];
  /** One a group, in label order, over the same x. */
  curves: {
    group: string | number;
    /** Rows with the event in the group: with few, the interaction says little. */
    events: number;
    x: Float64Array;
    incidence: Float64Array;
    lower: Float64Array;
    upper: Float64Array;
  }[];
  /** Does the difference between the groups depend on the measurement? */
  interaction: MeasurementInteraction;
  /** The model behind it. */
  fit: SubdistributionFit;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, when `converged` is false. */
  reason?: string;
}

/**
 * Incidence of an event by a time over a measurement, smooth, in two groups: the continuous answer
 * to what subgroups cut in two.
 *
 * A subdistribution regression with the group, a restricted cubic spline of the measurement with
 * three knots, and their products, so that each group has a curve of its own. The test of
 * interaction is not the regression's, which is on the scale of ratios and wrong with few events:
 * it is that of `measurementInteraction`, on the scale drawn.
 *
 * Curves from the fifth to the ninety-fifth percentile of the measurement. Rows in which it is NaN
 * are counted and left out. Cost: one regression and a prediction a point.
 *
 * @param measurement One value a row, NaN where not known.
 * @param options.points Points a curve, default 25.
 * @param options.knots Three, default at the 10th, 50th and 90th percentile.
 * @example
 * ```ts ignore
 * import { incidenceByMeasurement } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 2, 1, 0, 1, 0, 2, 0, 1, 0, 0];
 * const group = [0, 1, 0, 1, 1, 0, 0, 1, 0, 1, 0, 1];
 * const weight = [1, 2, 1, 1, 2, 1, 1, 1, 2, 1, 1, 1];
 * const tether = [4, 9, 12, 5, 11, 8, 3, 13, 6, 10, 7, 14];
 * incidenceByMeasurement({ time, event, group, weight }, tether, { cause: 1, time: 5 }).curves;
 * ```
 * @throws {DataError} unless there are two groups, as `subdistributionRegression`, and if the
 * measurement has too few values for its knots.
 * @see Fine & Gray (1999) JASA 94:496-509; splines against cut-points: Royston, Altman & Sauerbrei
 * (2006) Stat Med 25:127-141.
 */
export function incidenceByMeasurement(
  data: FollowUp & { group: Labels; cluster?: Labels },
  measurement: Numbers,
  options: {
    cause: number;
    time: number;
    points?: number;
    knots?: [number, number, number];
    confidence?: number;
  },
): IncidenceByMeasurement {
  checkDataColumns("incidenceByMeasurement", data, [...FOLLOW_UP, "group", "cluster"]);
  const confidence = checkConfidence(options.confidence);
  const finite = (v: number) => v > 0 && v < Infinity;
  const horizon = checkNumber("time", options.time, finite, "a finite number > 0");
  const points = checkWhole("points", options.points ?? 25, 2);
  const total = data.time.length;
  if (measurement.length !== total) {
    throw new DataError("measurement", `of length ${total}`, measurement);
  }
  const rows = Array.from({ length: total }, (_, i) => i)
    .filter((i) => !Number.isNaN(measurement[i]!));
  const pick = (column: Numbers) => Float64Array.from(rows, (i) => column[i]!);
  const { codes, labels } = groupColumn("group", rows.map((i) => data.group[i]!));
  if (labels.length !== 2) throw new DataError("group", "two groups", labels.length);
  const values = pick(measurement);
  const knots = options.knots ?? splineKnots(values, 3);
  const second = Float64Array.from(codes);
  const columnsAt = (x: Float64Array, group: Float64Array) => {
    const [straight, bend] = splineBasis(x, knots);
    const times = (column: Float64Array) => column.map((value, i) => value * group[i]!);
    return {
      group,
      straight: straight!,
      bend: bend!,
      groupByStraight: times(straight!),
      groupByBend: times(bend!),
    };
  };
  const followUp = {
    time: pick(data.time),
    event: pick(data.event),
    ...(data.weight && { weight: pick(data.weight) }),
  };
  const fit = subdistributionRegression({
    ...followUp,
    ...(data.cluster && { cluster: rows.map((i) => data.cluster![i]!) }),
    covariates: columnsAt(values, second),
  }, { cause: options.cause, confidence });
  const sorted = values.slice().sort();
  const low = quantileOfSorted(sorted, 0.05);
  const high = quantileOfSorted(sorted, 0.95);
  const x = Float64Array.from({ length: points }, (_, k) => low + (high - low) * k / (points - 1));
  const curves = labels.map((group, code) => {
    const columns = columnsAt(x, new Float64Array(points).fill(code));
    const found = Array.from(x, (_, k) => {
      const profile = Object.fromEntries(
        Object.entries(columns).map(([name, column]) => [name, column[k]!]),
      );
      return fit.incidenceFor(profile, [horizon], { confidence });
    });
    const column = (key: "incidence" | "lower" | "upper") =>
      Float64Array.from(found, (at) => at[key][0]!);
    return {
      group,
      events: rows.filter((i, k) => codes[k] === code && data.event[i] === options.cause).length,
      x,
      incidence: column("incidence"),
      lower: column("lower"),
      upper: column("upper"),
    };
  });
  return {
    n: rows.length,
    unknown: total - rows.length,
    knots,
    curves,
    interaction: measurementInteraction(
      { ...followUp, group: Array.from(codes) },
      splineBasis(values, knots),
      { cause: options.cause, time: horizon },
    ),
    fit,
    converged: fit.converged,
    ...(fit.reason !== undefined && { reason: fit.reason }),
  };
}
