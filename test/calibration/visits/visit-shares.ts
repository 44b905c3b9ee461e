import * as mitral from "mitral";
import { daysPerYear, gradeAt } from "../../../lib/simulate/mechanism/outcomes.ts";
import type { PatientTruth } from "../../../lib/simulate/rows/simulate-cohort.ts";
import { leakAtVisits } from "../../../lib/competing/visits/leak-at-visits.ts";

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

export const shareTimes = [1, 2, 3, 5, 7, 10];

/** Shares estimated as the notebook does, of an analysis whose patients' truth is known. */
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
