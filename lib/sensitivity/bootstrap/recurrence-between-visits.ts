import { completedAnalyses } from "../../cohort/analysis/mod.ts";
import { type RecurrenceLookedFor, recurrenceLookedFor } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import type { Interval } from "../../numerics/mod.ts";
import { plannedWeights, scoredColumnsOf } from "../../balance/samples/mod.ts";
import { FEW } from "../../competing/incidence/mod.ts";
import { drawnDifference, type DrawnShare, drawnShareLimits } from "../../competing/visits/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { bootstrapInWorkers, SMALL_PILOT, type WorkerOptions } from "./bootstrap-in-workers.ts";
import type { ChosenLimits } from "./summary.ts";
import type { VisitsProcedure } from "./visits-procedure.ts";

/** Recurrence between visits in two groups at one horizon, death competing. */
export interface BetweenVisitsContrast {
  /** Horizon, in years. */
  time: number;
  /** Replacement, then repair; at risk when follow-up begins. */
  groups: (Interval & { group: 0 | 1; atRisk: number })[];
  /** Repair minus replacement. */
  difference: Interval & { pValue: number };
}

/** See {@link recurrenceBetweenVisits}. */
export interface BetweenVisits {
  /** One a horizon within the visits of both groups; none where `reason` says why. */
  contrasts: BetweenVisitsContrast[];
  /** Horizons past the last visit of a group. */
  beyond: number[];
  /** Patients at risk of recurrence, and those in whom one was found, unweighted. */
  atRisk: { repair: number; replacement: number };
  /** Patients in whom one was found, unweighted. */
  found: { repair: number; replacement: number };
  /** Draws that gave limits. */
  replicates: number;
  /** Why there is no difference. */
  reason?: "few-found" | "no-visits";
}

/**
 * The difference between repair and replacement in recurrence that came at any time between two
 * visits, death competing, under the study's weights; with limits from a bootstrap of the whole
 * procedure.
 *
 * In each draw the propensity score is fitted, patients are weighted and the onset of recurrence is
 * estimated anew (see `intervalCensoredIncidence`), the ratio of death rates with it. Limits of a
 * group are log-log out of the draws' standard error, or, with few events, those of an effective
 * number (see `drawnShareLimits`); those of the difference are made of both groups', squared and
 * added. An estimate between visits converges more slowly than the square root of n, and whether
 * such limits hold is for simulation to show, not theory
 * (test/calibration/visits/between-visits.ts).
 *
 * Where missing covariates are imputed, the estimate rests on the mean of the weights over the
 * completed sets, and each draw on those of one set, in turn, so that limits have
 * what imputing adds.
 *
 * Where fewer than five recurrences were found in a group (common practice, no source) draws tell
 * nothing of chance, and there is no difference.
 *
 * Cost: `replicates` times a logistic regression and two searches of some tens of steps, each O(n),
 * shared among workers.
 *
 * In large cohorts there are fewer draws, as many as it takes until their own chance moves limits
 * by no more than 0.05 per 100, at least 50; of more than 20,000 patients 20 to 50, which let it
 * move limits by a tenth of their distance from the estimate at most. `replicates` says how many.
 *
 * @param options.replicates The most there are, default 200.
 * @param options.workers Default one a core; 0 works everything out here.
 * @example
 * ```ts ignore
 * import { openAnalysis, recurrenceBetweenVisits } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const { contrasts } = await recurrenceBetweenVisits(analysis, study);
 * contrasts.map(({ time, difference }) => [time, difference.estimate]);
 * ```
 * @throws {DataError} as `bootstrapInWorkers`.
 * @see Efron & Tibshirani (1993) An Introduction to the Bootstrap; weights drawn anew: Austin
 * (2016) Stat Med 35:5642-5655.
 */
export async function recurrenceBetweenVisits(
  analysis: Analysis,
  study: Study,
  options: Pick<WorkerOptions, "replicates" | "workers"> & {
    /** Default the study's. */
    seed?: number;
    horizons?: readonly number[];
    estimand?: Study["estimand"];
  } = {},
): Promise<BetweenVisits> {
  const { horizons = study.horizons, replicates = 200, seed = study.seed, workers } = options;
  const looked = recurrenceLookedFor(analysis);
  const of = (code: 0 | 1) =>
    Array.from(looked.rows.keys()).filter((i) => looked.treated[i] === code);
  const counts = (code: 0 | 1) => ({
    atRisk: of(code).length,
    found: of(code).filter((i) => looked.found[i]! < Infinity).length,
  });
  const [repair, replacement] = [counts(1), counts(0)];
  const last = Math.min(lastVisit(looked, of(1)), lastVisit(looked, of(0)));
  const times = horizons.filter((time) => time <= last);
  const result = {
    beyond: horizons.filter((time) => !(time <= last)),
    atRisk: { repair: repair.atRisk, replacement: replacement.atRisk },
    found: { repair: repair.found, replacement: replacement.found },
  };
  const without = (reason: NonNullable<BetweenVisits["reason"]>) => ({
    ...result,
    ...{ contrasts: [], replicates: 0, reason },
  });
  if (Math.min(repair.found, replacement.found) < FEW) return without("few-found");
  if (times.length === 0) return without("no-visits");
  const covariates = scoredColumnsOf(completedAnalyses(analysis), study).map((set) =>
    set.covariates
  );
  const { rows, lastClear, found, time, death } = looked;
  const input: VisitsProcedure = {
    treated: analysis.treated,
    covariates,
    weights: plannedWeights(study, options.estimand ?? study.estimand),
    looked: { rows, lastClear, found, time, death },
    times,
  };
  const isLarge = analysis.n > many;
  const numbers = await bootstrapInWorkers(analysis.n, {
    module: new URL("./visits-procedure.ts", import.meta.url).href,
    name: "visitsStatistic",
    input,
  }, {
    ...{ seed, limits, confidence: study.confidence, parts: 0 },
    within: hardlySeen,
    replicates: isLarge ? Math.min(replicates, mostOfMany) : replicates,
    ...(isLarge && { pilot: SMALL_PILOT }),
    ...(workers === undefined ? {} : { workers }),
  });
  const { confidence } = study;
  const shareAt = (k: number, code: 0 | 1): DrawnShare => ({
    estimate: numbers[k]!.estimate,
    standardError: numbers[k]!.standardError,
    seenClear: of(code).filter((i) => looked.lastClear[i]! >= times[k % times.length]!).length,
  });
  const limited = (share: DrawnShare): Interval => {
    const { estimate, standardError } = share;
    const [lower, upper] = drawnShareLimits(share, confidence);
    return { estimate, standardError, lower, upper };
  };
  const contrasts = times.map((time, k): BetweenVisitsContrast => {
    const [to, from] = [shareAt(k, 1), shareAt(times.length + k, 0)];
    const { standardError } = numbers[2 * times.length + k]!;
    return {
      time,
      groups: [
        { group: 0, atRisk: replacement.atRisk, ...limited(from) },
        { group: 1, atRisk: repair.atRisk, ...limited(to) },
      ],
      difference: drawnDifference({ from, to, standardError }, confidence),
    };
  });
  return { ...result, contrasts, replicates: numbers[0]!.replicates.length };
}

/** Of more patients limits are so narrow that their own error is too. */
const many = 20_000;
/** A standard error of so many draws is within a tenth of itself. */
const mostOfMany = 50;

/** Limits are printed per 100: what the draws' chance does to them stays out of sight. */
const hardlySeen = 0.0005;

const limits: ChosenLimits = {
  method: "normal",
  why: "Draws of an estimate between visits lie about another value than the estimate does.",
};

function lastVisit({ lastClear, found }: RecurrenceLookedFor, rows: number[]): number {
  return rows.reduce(
    (last, i) => Math.max(last, lastClear[i]!, found[i]! < Infinity ? found[i]! : 0),
    0,
  );
}
