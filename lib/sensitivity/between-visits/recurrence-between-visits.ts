import type { Analysis } from "../../cohort/model/mod.ts";
import { type Interval, MANY } from "../../numerics/mod.ts";
import { drawnDifference, type DrawnShare, drawnShareLimits } from "../../competing/visits/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import {
  bootstrapInWorkers,
  type ChosenLimits,
  SMALL_PILOT,
  type WorkerOptions,
} from "../bootstrap/mod.ts";
import { type VisitsOptions, visitsTask } from "./visits-task.ts";

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
  options: VisitsOptions & Pick<WorkerOptions, "workers"> = {},
): Promise<BetweenVisits> {
  const { looked, repair, replacement, times, ...task } = visitsTask(analysis, study, options);
  const result = {
    beyond: task.beyond,
    atRisk: { repair: repair.rows.length, replacement: replacement.rows.length },
    found: { repair: repair.found, replacement: replacement.found },
  };
  if ("reason" in task) {
    return { ...result, ...{ contrasts: [], replicates: 0, reason: task.reason } };
  }
  const { statistic, plan } = task;
  const { workers } = options;
  const numbers = await bootstrapInWorkers(analysis.n, statistic, {
    ...{ ...plan, limits, confidence: study.confidence },
    within: hardlySeen,
    // of many, limits are so narrow that their own error is too
    ...(analysis.n > MANY && { pilot: SMALL_PILOT }),
    ...(workers === undefined ? {} : { workers }),
  });
  const { confidence } = study;
  const shareAt = (k: number, { rows }: typeof repair): DrawnShare => ({
    estimate: numbers[k]!.estimate,
    standardError: numbers[k]!.standardError,
    seenClear: rows.filter((i) => looked.lastClear[i]! >= times[k % times.length]!).length,
  });
  const limited = (share: DrawnShare): Interval => {
    const { estimate, standardError } = share;
    const [lower, upper] = drawnShareLimits(share, confidence);
    return { estimate, standardError, lower, upper };
  };
  const contrasts = times.map((time, k): BetweenVisitsContrast => {
    const [to, from] = [shareAt(k, repair), shareAt(times.length + k, replacement)];
    const { standardError } = numbers[2 * times.length + k]!;
    return {
      time,
      groups: [
        { group: 0, atRisk: replacement.rows.length, ...limited(from) },
        { group: 1, atRisk: repair.rows.length, ...limited(to) },
      ],
      difference: drawnDifference({ from, to, standardError }, confidence),
    };
  });
  return { ...result, contrasts, replicates: numbers[0]!.replicates.length };
}

/** Limits are printed per 100: what the draws' chance does to them stays out of sight. */
const hardlySeen = 0.0005;

const limits: ChosenLimits = {
  method: "normal",
  why: "Draws of an estimate between visits lie about another value than the estimate does.",
};
