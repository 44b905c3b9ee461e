import { keptAnswer } from "../../cohort/kept/mod.ts";
import { type EndpointFollowUp, followUpOf } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import {
  type ArmContrast,
  armIncidenceDifferences,
  armSurvivalDifferences,
} from "../../competing/arms/mod.ts";
import { DataError, type Interval } from "../../numerics/mod.ts";
import type { PlannedComparison } from "../../study/plan/mod.ts";
import { type ArmDesign, armDesign } from "./arm-design.ts";
import { overSets, sharesIn } from "./arms-over-sets.ts";

/** One arm minus another at the main horizon. */
export interface ArmPairContrast {
  /** The arms' ids: the first minus the second. */
  first: string;
  /** Label of the second arm. */
  second: string;
  /** First minus second, with limits. */
  difference: Interval & { pValue: number };
  /** Limits and p value that hold for all pairs of the comparison together. */
  together: { lower: number; upper: number; pValue: number };
  /** Whether too few had the event for limits to be trusted. */
  fewEvents: boolean;
}

/** One endpoint in every arm at the main horizon. */
export interface ArmEndpoint {
  /** Id of the endpoint. */
  endpoint: string;
  /** Name as readers see it. */
  label: string;
  /** In the plan's order; empty where there is too little for a number. */
  arms: (Interval & { id: string; label: string; events: number })[];
  /** One a pair of arms. */
  contrasts: ArmPairContrast[];
  /** Why there is no number, as a phrase; empty where there is one. */
  why: string;
}

/** A comparison of the plan, answered. */
export interface ArmAnswers {
  /** How the arms were made alike. */
  design: ArmDesign;
  /** One an endpoint. */
  endpoints: ArmEndpoint[];
}

/**
 * A comparison of two to four arms at the plan's main horizon: each arm's result, alive for death
 * and cumulative incidence for any other endpoint, every pairwise difference, and limits that hold
 * for all pairs together.
 *
 * Where the plan takes patients of one surgeon as alike, rows of a surgeon are a cluster, and
 * limits are those of Student's t with one degree of freedom fewer than there are surgeons: with
 * few clusters normal limits would be too narrow.
 *
 * @example
 * ```ts ignore
 * import { armAnswers, openAnalysis } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * study.comparisons.map((comparison) => armAnswers(analysis, comparison));
 * ```
 * @throws {DataError} as `followUpOf` does, or if a rule needs a column that the file
 * does not have.
 */
export function armAnswers(analysis: Analysis, comparison: PlannedComparison): ArmAnswers {
  const design = armDesign(analysis, comparison);
  const dated = analysis.study.endpoints.filter(({ id, event }) =>
    (event === undefined || event.day !== undefined) &&
    (comparison.endpoints === undefined || comparison.endpoints.includes(id))
  );
  return {
    design,
    endpoints: dated.map(({ id }) => endpointIn(design, followUpOf(design.analysis, id))),
  };
}

function endpointIn(design: ArmDesign, followUp: EndpointFollowUp): ArmEndpoint {
  const { mainHorizon, enough } = design.analysis.study;
  const { endpoint, label } = followUp;
  const bare = { endpoint, label, arms: [], contrasts: [] };
  if (!design.weight || design.shortOf.length > 0) {
    return { ...bare, why: design.shortOf.join("; ") };
  }
  const { comparison, counts, weight } = design;
  const present = new Set(
    Array.from(followUp.rows, (row) => weight[row]! > 0 ? counts.arm[row] : ""),
  );
  if (comparison.arms.some(({ id }) => !present.has(id))) {
    return { ...bare, why: "an arm has nobody at risk" };
  }
  const found = keptAnswer(
    design.analysis,
    ["arms", comparison, endpoint, weight, design.weightInSets],
    () => contrastOf(design, followUp, weight),
  );
  if (found.arms.some(({ estimate }) => Number.isNaN(estimate))) {
    return { ...bare, why: `nobody in an arm is followed for ${mainHorizon} years` };
  }
  const events = found.arms.reduce((sum, arm) => sum + arm.events, 0);
  if (events < enough.events.value) return { ...bare, why: "too few events for a number" };
  const armOf = (code: string | number) => comparison.arms[placeOf(code, comparison)]!;
  return {
    ...bare,
    arms: [...found.arms].reverse().map(
      ({ arm, estimate, standardError, lower, upper, events }) => {
        const { id, label } = armOf(arm);
        return { id, label, estimate, standardError, lower, upper, events };
      },
    ),
    contrasts: [...found.differences].reverse().map((pair): ArmPairContrast => {
      const { estimate, standardError, lower, upper, pValue, simultaneous, fewEvents } = pair;
      return {
        first: armOf(pair.to).id,
        second: armOf(pair.from).id,
        difference: { estimate, standardError, lower, upper, pValue },
        together: simultaneous,
        fewEvents,
      };
    }),
    why: "",
  };
}

// A later arm is subtracted from an earlier one of the plan: arms are numbered from its last.
const placeOf = (code: string | number, { arms }: PlannedComparison) =>
  arms.length - 1 - Number(code);

function contrastOf(
  { comparison, counts, surgeon, analysis, weightInSets }: ArmDesign,
  { endpoint, rows, time, event }: EndpointFollowUp,
  weight: Float64Array,
): ArmContrast {
  const { mainHorizon, confidence, seed } = analysis.study;
  const codes = new Map(
    comparison.arms.map(({ id }, place) => [id, comparison.arms.length - 1 - place]),
  );
  // weights of 0 are of patients who could have been in one arm only
  const kept = [...rows.keys()].filter((i) => weight[rows[i]!]! > 0);
  const of = <Value>(value: (i: number) => Value) => kept.map(value);
  const surgeons = surgeon && of((i) => surgeon[rows[i]!]!);
  const clusters = new Set(surgeons ?? []).size;
  const columns = {
    time: Float64Array.from(of((i) => time[i]!)),
    event: Int32Array.from(of((i) => event[i]!)),
    arm: of((i) => codes.get(counts.arm[rows[i]!]!)!),
  };
  const weighted = (own: Float64Array) => ({
    ...columns,
    weight: Float64Array.from(of((i) => own[rows[i]!]!)),
  });
  const data = {
    ...weighted(weight),
    ...(surgeons && clusters > 2 ? { cluster: surgeons } : {}),
  };
  const options = {
    times: [mainHorizon],
    confidence,
    seed,
    degreesOfFreedom: clusters > 2 ? clusters - 1 : Infinity,
  };
  const [found] = endpoint === "death"
    ? armSurvivalDifferences(data, options)
    : armIncidenceDifferences(data, { cause: 1, ...options });
  if (!found) throw new DataError("times", "one horizon", mainHorizon);
  if (!weightInSets) return found;
  const sets = weightInSets.map((own) => sharesIn(weighted(own), endpoint, mainHorizon));
  return overSets(found, sets, options);
}
