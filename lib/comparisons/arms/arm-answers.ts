import { followUpOf } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { distributions, type Interval } from "../../numerics/mod.ts";
import type { PlannedComparison } from "../../study/plan/mod.ts";
import { contrastsOf, type EndpointContrast } from "../populations/mod.ts";
import { type ArmDesign, armDesign } from "./arm-design.ts";
import { levelOf, pointwiseReach, simultaneousReach } from "./simultaneous.ts";

/** One arm minus another at the main horizon. */
export interface ArmPairContrast {
  /** The arms' ids: the first minus the second. */
  first: string;
  second: string;
  difference: Interval & { pValue: number };
  /** Limits that hold for all pairs of the comparison together. */
  together: { lower: number; upper: number };
  fewEvents: boolean;
}

/** One endpoint in every arm at the main horizon. */
export interface ArmEndpoint {
  endpoint: string;
  label: string;
  /** In the plan's order; empty where there is too little for a number. */
  arms: (Interval & { id: string; label: string; events: number })[];
  contrasts: ArmPairContrast[];
  why: string;
}

/** A comparison of the plan, answered. */
export interface ArmAnswers {
  design: ArmDesign;
  endpoints: ArmEndpoint[];
}

/**
 * A comparison of two to four arms at the plan's main horizon: each arm's result, every pairwise
 * difference, and limits that hold for all pairs together.
 *
 * Where the plan takes patients of one surgeon as alike, rows of a surgeon are a cluster, and limits
 * are those of Student's t with one degree of freedom fewer than there are surgeons: with few
 * clusters normal limits would be too narrow.
 *
 * @throws {DataError} as `followUpOf` does.
 */
export function armAnswers(analysis: Analysis, comparison: PlannedComparison): ArmAnswers {
  const design = armDesign(analysis, comparison);
  const dated = analysis.study.endpoints.filter(({ id, event }) =>
    (event === undefined || event.day !== undefined) &&
    (comparison.endpoints === undefined || comparison.endpoints.includes(id))
  );
  return { design, endpoints: dated.map(({ id }) => endpointIn(design, id)) };
}

function endpointIn(design: ArmDesign, id: string): ArmEndpoint {
  const { comparison, counts, weight, surgeon, shortOf } = design;
  const { mainHorizon, confidence, enough, seed } = design.analysis.study;
  const followUp = followUpOf(design.analysis, id);
  const bare = { endpoint: id, label: followUp.label, arms: [], contrasts: [] };
  if (!weight || shortOf.length > 0) return { ...bare, why: shortOf.join("; ") };
  const rows = [...followUp.rows.keys()];
  const armOf = (i: number) => counts.arm[followUp.rows[i]!]!;
  const surgeons = surgeon && new Set(surgeon);
  const df = surgeons && surgeons.size > 2 ? surgeons.size - 1 : Infinity;
  const between = (first: string, second: string, level: number): EndpointContrast => {
    const kept = rows.filter((i) => armOf(i) === first || armOf(i) === second);
    const [contrast] = contrastsOf(id, {
      design: "weighted",
      time: Float64Array.from(kept, (i) => followUp.time[i]!),
      event: Int32Array.from(kept, (i) => followUp.event[i]!),
      group: Uint8Array.from(kept, (i) => armOf(i) === first ? 1 : 0),
      weight: Float64Array.from(kept, (i) => weight[followUp.rows[i]!]!),
      ...(surgeon && df < Infinity
        ? { cluster: codesOf(kept.map((i) => surgeon[followUp.rows[i]!]!)) }
        : {}),
    }, { times: [mainHorizon], confidence: level });
    return contrast!;
  };
  const { arms } = comparison;
  if (arms.some((arm) => !rows.some((i) => armOf(i) === arm.id))) {
    return { ...bare, why: "an arm has nobody at risk" };
  }
  const pointwise = levelOf(pointwiseReach(confidence, df));
  const pairs = arms.flatMap((one, i) =>
    arms.slice(i + 1).map((other) => [one.id, other.id] as const)
  );
  const found = pairs.map(([first, second]) => ({
    first,
    second,
    contrast: between(first, second, pointwise),
  }));
  const own = arms.map((arm) => {
    const { contrast, first } = found.find((pair) =>
      pair.first === arm.id || pair.second === arm.id
    )!;
    const group = contrast.groups.find((one) => Number(one.group) === (first === arm.id ? 1 : 0))!;
    const { estimate, standardError, lower, upper, events } = group;
    return { id: arm.id, label: arm.label, estimate, standardError, lower, upper, events };
  });
  const events = own.reduce((sum, arm) => sum + arm.events, 0);
  if (own.some(({ estimate }) => Number.isNaN(estimate))) {
    return { ...bare, why: `nobody in an arm is followed for ${mainHorizon} years` };
  }
  if (events < enough.events.value) {
    return { ...bare, why: `fewer than ${enough.events.value} events` };
  }
  const reach = simultaneousReach(own.map(({ standardError }) => standardError ** 2), {
    confidence,
    degreesOfFreedom: df,
    seed,
  });
  const contrasts = found.map(({ first, second, contrast }): ArmPairContrast => {
    const wide = pairs.length > 1 ? between(first, second, levelOf(reach)) : contrast;
    const { lower, upper } = wide.difference;
    const { difference, fewEvents } = contrast;
    const pValue = pairAlone(difference.pValue, df);
    return {
      first,
      second,
      difference: { ...difference, pValue },
      together: { lower, upper },
      fewEvents,
    };
  });
  return { ...bare, arms: own, contrasts, why: "" };
}

/** A normal p value as Student's t has it. */
function pairAlone(pValue: number, df: number): number {
  if (df === Infinity || Number.isNaN(pValue) || pValue <= 0) return pValue;
  return distributions.studentTwoSided(distributions.normalUpperQuantile(pValue / 2), df);
}

function codesOf(labels: readonly string[]): Int32Array {
  const codes = new Map<string, number>();
  return Int32Array.from(labels, (label) => {
    if (!codes.has(label)) codes.set(label, codes.size);
    return codes.get(label)!;
  });
}
