import type { GroupLabels } from "../items/mod.ts";
import type { DesignedFollowUp } from "../../balance/samples/mod.ts";
import {
  cumulativeIncidenceByGroup,
  effectiveAtRisk,
  type IncidenceContrast,
  putEffectiveNumbers,
  withEffectiveNumbers,
} from "../../competing/incidence/mod.ts";
import { incidenceContrasts, pooledIncidenceByGroup } from "../../missing/study/mod.ts";
import type { IncidenceGroup } from "../../figures/over-time/mod.ts";

/** One endpoint under one design, as its figure, its table and its sentence take it. */
export interface ComparedIncidence {
  /** Repair first: for a figure of cumulative incidence. */
  groups: IncidenceGroup[];
  /** One a horizon: for a table of contrasts, and for a finding. */
  contrasts: IncidenceContrast[];
  /** The same of other endpoints of these patients whose numbers at risk are published too. */
  within: IncidenceContrast[][];
}

/**
 * The cumulative incidence of cause 1 in both groups of one design, at each horizon and as curves,
 * with the causes that compete; pooled over completed sets where missing covariates are imputed.
 *
 * @param options.alongside The same patients' follow-up of other endpoints that are published: a
 * number at risk that falls a few short of theirs would tell how few were never at risk
 * of this one.
 * @example
 * ```ts
 * import { compareIncidence, followUpOf, openAnalysis, underWeights, weightedSample } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const recurrence = followUpOf(analysis, "recurrence");
 * const { weight } = weightedSample(analysis, study);
 * const compared = compareIncidence(underWeights(recurrence, weight), {
 *   labels: { repair: "Repair", replacement: "Replacement" },
 *   horizons: [1, 5],
 *   causes: [1, 2, 3],
 * });
 * ```
 * @throws {DataError} as `incidenceDifference`.
 */
export function compareIncidence(
  data: DesignedFollowUp,
  { labels, horizons, causes, confidence, alongside = [] }: {
    labels: GroupLabels;
    horizons: readonly number[];
    causes: number[];
    confidence?: number;
    alongside?: readonly DesignedFollowUp[];
  },
): ComparedIncidence {
  const contrastsOf = (of: DesignedFollowUp) =>
    incidenceContrasts(of, { times: horizons, confidence });
  const others = alongside.map((of) => cumulativeIncidenceByGroup(of, { causes: [1, 2] }));
  const effective = effectiveAtRisk(data);
  const curves = pooledIncidenceByGroup(data, {
    confidence,
    causes,
    interval: "as-compared",
  });
  return {
    groups: [1, 0].flatMap((code) =>
      curves.filter(({ group }) => Number(group) === code).map((curve): IncidenceGroup => ({
        label: code === 1 ? labels.repair : labels.replacement,
        role: code === 1 ? "repair" : "replacement",
        curve: putEffectiveNumbers(curve, curve.group, effective),
        within: others.flatMap((other) => other.filter(({ group }) => Number(group) === code)),
      }))
    ),
    contrasts: withEffectiveNumbers(contrastsOf(data), effective),
    within: alongside.map(contrastsOf),
  };
}
