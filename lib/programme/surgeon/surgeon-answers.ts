import { underWeights, weightedSample } from "../../balance/samples/mod.ts";
import { type Analysis, textColumn } from "../../cohort/model/mod.ts";
import { followUpOf } from "../../cohort/follow-up/mod.ts";
import { survivalDifference } from "../../competing/incidence/mod.ts";
import { DataError, type Interval, raised } from "../../numerics/mod.ts";
import { randomInterceptLogistic } from "../mixed/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { stateByTime } from "../../sensitivity/bias/mod.ts";

/** The comparison with the surgeon allowed for in two ways. */
export interface SurgeonAnswers {
  /** How many surgeons. */
  surgeons: number;
  /** Patients without a recorded surgeon, each taken as a surgeon of their own. */
  unknown: number;
  /** Difference in survival at the main horizon, as planned: patients as independent units. */
  patients: Interval & { pValue: number };
  /** The same difference with surgeons as the independent units. */
  clustered: Interval & { pValue: number };
  /**
   * Odds ratio of death within the horizon, repair over replacement, the plan's covariates and a
   * random intercept of the surgeon in the model; of those whose state then is known. Null where of
   * these nobody had died, or everybody.
   */
  mixed:
    | { oddsRatio: number; lower: number; upper: number; n: number; medianOddsRatio: number }
    | null;
  /** What a reader must be told, in sentences. */
  warnings: string[];
}

/**
 * Whether patients of one surgeon are more alike than others: the planned weighted difference with
 * errors over surgeons, and a logistic model with a random intercept of the surgeon.
 *
 * The weighted difference is of the population, the odds ratio of patients alike in covariates and
 * surgeon: they answer two questions. With few surgeons errors over them are too small.
 *
 * @param analysis With covariates completed, or marked, as planned.
 * @param options.horizon In years, default the plan's first horizon: later ones lose those who
 * could not be followed so far.
 * @throws {DataError} if the file has no surgeon.
 */
export function surgeonAnswers(
  analysis: Analysis,
  study: Study,
  options: { horizon?: number } = {},
): SurgeonAnswers {
  const surgeon = textColumn(analysis, "surgeon");
  const known = surgeon.filter((code) => code !== "");
  if (known.length === 0) throw new DataError("surgeon", "recorded for some patient", "none");
  const cluster = surgeon.map((code, i) => code === "" ? `(patient ${i})` : code);
  const horizon = options.horizon ?? Math.min(...study.horizons);
  const { confidence } = study;
  const { weight, propensity } = weightedSample(analysis, study);
  const death = followUpOf(analysis, "death");
  const data = underWeights(death, weight);
  const times = { times: [study.mainHorizon], confidence };
  const [patients] = survivalDifference(data, times);
  const [clustered] = survivalDifference({ ...data, cluster }, times);
  const state = stateByTime(death, { time: horizon });
  const rows = Array.from(state, (_, i) => i).filter((i) => !Number.isNaN(state[i]));
  const pick = (column: ArrayLike<number>) => Float64Array.from(rows, (i) => column[i]!);
  const covariates = Object.fromEntries(
    Object.entries(propensity.design.covariates).map(([name, column]) => [name, pick(column)]),
  );
  const outcome = pick(state);
  const fit = new Set(outcome).size < 2 ? null : randomInterceptLogistic({
    outcome,
    covariates: { repair: pick(analysis.treated), ...covariates },
    unit: rows.map((i) => cluster[i]!),
  }, { confidence });
  const repair = fit?.terms.find(({ name }) => name === "repair");
  const surgeons = new Set(known).size;
  const years = horizon === 1 ? "1 year" : `${horizon} years`;
  return {
    surgeons,
    unknown: surgeon.length - known.length,
    patients: patients!.difference,
    clustered: clustered!.difference,
    mixed: fit && repair
      ? {
        oddsRatio: repair.oddsRatio,
        lower: Math.exp(repair.lower),
        upper: Math.exp(repair.upper),
        n: fit.n,
        medianOddsRatio: fit.medianOddsRatio,
      }
      : null,
    warnings: raised([
      ...(surgeons < 10
        ? [
          `Limits that keep the patients of ${surgeons} surgeons together are too narrow: there are few.`,
        ]
        : []),
      ...(fit ? [] : [
        `Nobody had died within ${years}, or everybody: there is no odds ratio of death.`,
      ]),
      ...(!fit || fit.converged ? [] : [`The model with a random intercept: ${fit.reason}.`]),
    ]),
  };
}
