import * as mitral from "mitral";
import { daysPerYear, gradeAt } from "../../lib/simulate/mechanism/outcomes.ts";
import { type PatientTruth, simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";
import { leakAtVisits } from "../../lib/competing/visits/leak-at-visits.ts";
import { readBack } from "./read-back.ts";

/** The share with 2+ or worse among the living, by one way of counting visits, in one cohort. */
export interface VisitShare {
  counting: string;
  arm: "repair" | "replacement";
  time: number;
  estimate: number;
  lower: number;
  upper: number;
  /** In these very patients, had all had that operation and all been looked at with certainty. */
  truth: number;
}

/** How a way of counting did over the cohorts. */
export interface VisitSharePerformance {
  counting: string;
  arm: "repair" | "replacement";
  time: number;
  cohorts: number;
  truth: number;
  mean: number;
  bias: number;
  biasError: number;
  /** Share of 95% limits that hold the truth, of the cohorts that have limits. */
  coverage: number;
  coverageError: number;
}

export const shareTimes = [1, 2, 3, 5, 7, 10];

/** Shares in one simulated cohort, estimated as the notebook does. */
export async function visitShares(seed: number): Promise<VisitShare[]> {
  const simulated = simulateCohort({ seed });
  const analysis = await readBack(simulated);
  return visitSharesOf(analysis, Array.from(analysis.rows, (row) => simulated.truth[row]!));
}

/** The same of an analysis whose patients' truth is known. */
export function visitSharesOf(
  analysis: mitral.Analysis,
  patients: readonly PatientTruth[],
): VisitShare[] {
  const { study, treated } = analysis;
  const { weight, propensity: { score } } = mitral.weightedSample(analysis, study);
  const { shares } = leakAtVisits(mitral.visitHistory(analysis), { weight, times: shareTimes });
  const population = mitral.populationWeights({ treated, score }, { estimand: study.estimand });
  return Object.entries(shares).flatMap(([counting, { groups }]) =>
    groups.flatMap(({ group, proportion, lower, upper }) => {
      const arm = Number(group) === 1 ? "repair" as const : "replacement" as const;
      return shareTimes.map((time, k) => ({
        counting,
        arm,
        time,
        estimate: proportion[k]!,
        lower: lower[k]!,
        upper: upper[k]!,
        truth: trueShare(patients, population, { arm, time }),
      }));
    })
  );
}

/** Of those alive with the valve of the operation, the share that leaks. */
function trueShare(
  patients: readonly PatientTruth[],
  weight: ArrayLike<number>,
  { arm, time }: { arm: "repair" | "replacement"; time: number },
): number {
  const day = time * daysPerYear;
  let alive = 0;
  let leaking = 0;
  patients.forEach(({ potential }, i) => {
    const { deathDay, reoperationDay, ...path } = potential[arm];
    if (deathDay <= day || reoperationDay <= day) return;
    alive += weight[i]!;
    if (gradeAt(time, path) >= 2) leaking += weight[i]!;
  });
  return leaking / alive;
}

/** Bias and coverage of each way of counting, against the truth in the same patients. */
export function visitSharePerformance(cohorts: VisitShare[][]): VisitSharePerformance[] {
  const first = cohorts[0] ?? [];
  return first.map(({ counting, arm, time }, k) => {
    const list = cohorts.map((shares) => shares[k]!);
    const mean = (value: (one: VisitShare) => number) =>
      list.reduce((sum, one) => sum + value(one), 0) / list.length;
    const bias = mean(({ estimate, truth }) => estimate - truth);
    const spread = mean(({ estimate, truth }) => (estimate - truth - bias) ** 2);
    const limited = list.filter(({ lower, upper }) => lower <= upper);
    const holding = limited.filter(({ lower, upper, truth }) => lower <= truth && truth <= upper);
    const coverage = holding.length / limited.length;
    return {
      counting,
      arm,
      time,
      cohorts: list.length,
      truth: mean(({ truth }) => truth),
      mean: mean(({ estimate }) => estimate),
      bias,
      biasError: Math.sqrt(spread / (list.length - 1)),
      coverage,
      coverageError: Math.sqrt(coverage * (1 - coverage) / limited.length),
    };
  });
}
