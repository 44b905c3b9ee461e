import {
  checkConfidence,
  checkDataColumns,
  checkNumber,
  checkWhole,
  DataError,
  numberColumn,
  type Numbers,
  quantileOfSorted,
} from "../../numerics/mod.ts";
import { cumulative, valuesAt } from "./course-values.ts";
import { expectedCounts } from "./expected-counts.ts";
import { fitIllnessDeath, type IllnessDeath } from "./illness-death-em.ts";
import { resample } from "./visit-resample.ts";
import {
  reweighed,
  type UnseenDeaths,
  type VisitColumns,
  visitColumns,
  type VisitDesign,
  visitDesign,
  type VisitFollowUp,
} from "./visit-design.ts";

/** Options of {@link intervalCensoredIncidence}. */
export interface VisitOptions {
  /** Hazard of death after recurrence over before: estimated (default), or held at a value. */
  deathRateRatio?: "estimated" | number;
  /** Level of bootstrap limits, default 0.95. */
  confidence?: number;
  /** Bootstrap samples for limits; 0 (default) for none. */
  bootstrap?: number;
  /** Seed of the bootstrap, default 1. */
  seed?: number;
  /** Largest violation of a first-order condition, per patient, to accept; default 1e-9. */
  tolerance?: number;
  /** Default 2000; some tens are usual. */
  maxIterations?: number;
}

/** Incidence at the times asked for; NaN past the last visit. */
export interface VisitIncidenceAt {
  /** Times, in the unit given. */
  time: Float64Array;
  /** Had recurred by each time, death competing; within an interval with mass, interpolated. */
  incidence: Float64Array;
  /** Least and greatest the estimate allows, which differ within an interval with mass. */
  least: Float64Array;
  /** The greatest that the estimate allows. */
  greatest: Float64Array;
  /** Died without recurrence, and alive without it. */
  deathFirst: Float64Array;
  /** Probability of being alive without recurrence, 0 to 1. */
  eventFree: Float64Array;
  /** Bootstrap limits of `incidence`; NaN without a bootstrap. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
}

/** See {@link intervalCensoredIncidence}. */
export interface VisitIncidence {
  /** Rows. */
  n: number;
  /**
   * Patients in whom a visit found recurrence, who died without, and of those: not seen clear then.
   */
  found: number;
  /** Died without a finding. */
  deathsUnfound: number;
  /** Of those, not seen clear at death. */
  deathsUnseen: number;
  /** Intervals with mass, and the probability of recurring in each with death competing. */
  left: Float64Array;
  /** Right ends of the same intervals. */
  right: Float64Array;
  /** Probability of recurring in each interval, death competing. */
  mass: Float64Array;
  /** Hazard of death after recurrence over before. */
  deathRateRatio: number;
  /** At the estimate. */
  logLikelihood: number;
  /** Steps that the search took. */
  iterations: number;
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, when `converged` is false. */
  reason?: string;
  /** The last time at which anyone was looked at: nothing is known of recurrence after it. */
  lastVisit: number;
  /** The estimate at other times. */
  at(times: Numbers): VisitIncidenceAt;
}

/**
 * Cumulative incidence of a recurrence that only visits can find, with death competing.
 *
 * A recurrence lies between the last clear visit and the visit that found it; death is known to the
 * day, and whether there was a recurrence between the last clear visit and death (or last contact)
 * is not. The course is modelled as operated -> recurrence -> dead and operated -> dead (Markov):
 * the distribution of recurrence is left free, as is the hazard of death; after recurrence that
 * hazard is multiplied by one ratio, estimated or given. Maximum likelihood by EM joined with
 * convex minorant steps, until no first-order condition is violated. With ratio 1 the masses are
 * those of interval-censored survival and death only competes; with no deaths the result is that
 * curve. Taking every unfound death as free, as the estimator for interval-censored competing
 * events of Hudgens and colleagues would, is `unseenDeaths: "free"` in {@link incidenceBounds}.
 *
 * Assumes that visits and censoring say nothing about recurrence but what they show; visits made
 * because of symptoms break that. The ratio is identified by deaths after a finding; with few of
 * them hold it at several values instead. Recurrence is placed only in innermost intervals, and in
 * the middle of each for meeting the hazard of death, which enters as exp(-H): with exact data it
 * is the Aalen-Johansen estimate up to terms of order 1/n.
 *
 * Limits: percentile bootstrap over patients, each draw from the estimate itself on; the estimate
 * converges slowly (cube root of n), so a guide. Cost: O(n log n), and O(n) an iteration, usually
 * some tens.
 *
 * @example
 * ```ts
 * import { intervalCensoredIncidence } from "mitral";
 * const lastClear = [1, 2, 0.5, 3, 4, 1];
 * const found = [2, Infinity, 1.5, Infinity, 5, Infinity];
 * const time = [4, 5, 3, 6, 6, 2];
 * const death = [0, 1, 1, 0, 0, 1];
 * intervalCensoredIncidence({ lastClear, found, time, death }).at([1, 5]).incidence;
 * ```
 * @throws {DataError} on a value out of range, visits out of order, or no recurrence found. Not
 * converging is no error: see `converged`.
 * @see Frydman and Szarek (2009) Biometrics 65:143-151. Hudgens, Satten and Longini (2001)
 * Biometrics 57:74-80. Turnbull (1976) JRSS B 38:290-295.
 */
export function intervalCensoredIncidence(
  data: VisitFollowUp,
  options: VisitOptions = {},
): VisitIncidence {
  checkDataColumns("intervalCensoredIncidence", data, [
    "lastClear",
    "found",
    "time",
    "death",
    "weight",
  ]);
  const columns = visitColumns(data);
  const { deathRateRatio = "estimated" } = options;
  if (deathRateRatio !== "estimated") {
    checkNumber("deathRateRatio", deathRateRatio, (r) => r > 0 && r < Infinity, "above 0");
  }
  const samples = checkWhole("bootstrap", options.bootstrap ?? 0, 0);
  const search = {
    ratio: deathRateRatio,
    tolerance: checkNumber("tolerance", options.tolerance ?? 1e-9, (t) => t > 0, "above 0"),
    maxIterations: checkWhole("maxIterations", options.maxIterations ?? 2000, 0),
  };
  checkFound(columns);
  const design = visitDesign(columns, "modelled");
  const fit = fitIllnessDeath(design, search);
  const drawn = { ...search, tolerance: Math.max(search.tolerance, 1e-5), start: fit };
  const copies = resample(columns, samples, options.seed ?? 1).map((weight) => {
    const copy = reweighed(design, weight);
    return { design: copy, fit: fitIllnessDeath(copy, drawn) };
  });
  return resultOf(columns, { design, fit }, copies, checkConfidence(options.confidence));
}

/**
 * How far the unseen could move the estimate: the deaths after the last clear visit taken as all
 * free of recurrence, or all with one since that visit.
 *
 * Both are extreme; a truth outside them would need a wrong date or a wrong echocardiogram. Masses
 * are those of interval-censored survival on the intervals so changed; the hazard of death before
 * recurrence is deaths so taken over those alive and not recurred.
 *
 * @throws {DataError} as {@link intervalCensoredIncidence}.
 */
export function incidenceBounds(
  data: VisitFollowUp,
  options: { unseenDeaths: Exclude<UnseenDeaths, "modelled"> },
): VisitIncidence {
  checkDataColumns("incidenceBounds", data, ["lastClear", "found", "time", "death", "weight"]);
  const columns = visitColumns(data);
  checkFound(columns);
  const design = visitDesign(columns, options.unseenDeaths);
  const fit = fitIllnessDeath(design, { ratio: 1, tolerance: 1e-9, maxIterations: 2000 });
  const counts = expectedCounts(design).at(fit);
  // from here on, death before recurrence only
  fit.hazard = fit.hazard.map((_, v) => {
    const free = design.alive[v]! - counts.recurred[v]!;
    const dying = design.dying[v]! - counts.dyingAfterAt[v]!;
    return dying > 0 && free > 0 ? Math.min(1, dying / free) : 0;
  });
  fit.ratio = NaN;
  return resultOf(columns, { design, fit }, [], 0.95);
}

interface Estimated {
  design: VisitDesign;
  fit: IllnessDeath;
}

/** @throws {DataError} if no recurrence was found. */
function checkFound({ found }: VisitColumns): void {
  if (found.some((time) => time < Infinity)) return;
  throw new DataError("found", "finite in at least one row", "Infinity only");
}

function resultOf(
  columns: VisitColumns,
  { design, fit }: Estimated,
  copies: Estimated[],
  confidence: number,
): VisitIncidence {
  const { n, lastClear, found, time, death } = columns;
  const isFound = found.map((years) => years < Infinity ? 1 : 0);
  let lastVisit = 0;
  for (let i = 0; i < n; i++) {
    lastVisit = Math.max(lastVisit, lastClear[i]!, isFound[i] === 1 ? found[i]! : 0);
  }
  const unfound = (i: number) => death[i] === 1 && isFound[i] === 0;
  const H = cumulative(fit.hazard);
  const competing = fit.mass.map((p, s) =>
    design.right[s]! < Infinity ? p * Math.exp(-H[design.deathsBefore[s]!]!) : 0
  );
  const kept = Array.from(competing.keys()).filter((s) => competing[s]! > 1e-10);
  const pick = (column: Float64Array) => Float64Array.from(kept, (s) => column[s]!);
  const rows = Array.from({ length: n }, (_, i) => i);
  return {
    n,
    found: rows.filter((i) => isFound[i] === 1).length,
    deathsUnfound: rows.filter(unfound).length,
    deathsUnseen: rows.filter((i) => unfound(i) && time[i]! > lastClear[i]!).length,
    left: pick(design.left),
    right: pick(design.right),
    mass: pick(competing),
    deathRateRatio: fit.ratio,
    logLikelihood: fit.logLikelihood,
    iterations: fit.iterations,
    converged: fit.converged,
    ...(!fit.converged &&
      {
        reason: `a first-order condition is violated by ${
          fit.violation.toPrecision(2)
        } after ${fit.iterations} iterations`,
      }),
    lastVisit,
    at(times) {
      const asked = Float64Array.from(numberColumn("times", times, { min: 0 }));
      const own = valuesAt({ design, fit }, asked, lastVisit);
      const bands = copies.map((copy) => valuesAt(copy, asked, lastVisit).incidence);
      const limit = (p: number) =>
        asked.map((_, place) => {
          const drawn = Float64Array.from(bands, (band) => band[place]!).sort();
          return drawn.length === 0 ? NaN : quantileOfSorted(drawn, p);
        });
      return {
        time: asked,
        ...own,
        lower: limit((1 - confidence) / 2),
        upper: limit((1 + confidence) / 2),
      };
    },
  };
}
