import type { GroupLabels } from "../items/mod.ts";
import type { DesignedFollowUp } from "../../balance/samples/mod.ts";
import {
  effectiveAtRisk,
  putEffectiveNumbers,
  type SurvivalContrast,
  withEffectiveNumbers,
} from "../../competing/incidence/mod.ts";
import { pooledSurvivalByGroup, survivalContrasts } from "../../missing/study/mod.ts";
import type { DifferenceColumns, SurvivalGroup } from "../../figures/over-time/mod.ts";

/** Survival under one design, as its figure, its table and its sentence take it. */
export interface ComparedSurvival {
  /** Repair first: for a figure. */
  groups: SurvivalGroup[];
  /** Their difference month by month: for the lower part of the figure. */
  difference: { curve: DifferenceColumns };
  /** One a horizon of the plan: for a table of contrasts. */
  contrasts: SurvivalContrast[];
  /** The one at the main horizon: for the sentence. */
  main: SurvivalContrast;
}

/**
 * Kaplan-Meier survival of both groups of one design: as curves, at each of the plan's horizons,
 * and the difference for every month to the last of them, where it has limits; pooled over
 * completed sets where missing covariates are imputed.
 *
 * @example
 * ```ts
 * import { compareSurvival, followUpOf, openAnalysis, underWeights, weightedSample } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const death = followUpOf(analysis, "death");
 * const { weight } = weightedSample(analysis, study);
 * const compared = compareSurvival(underWeights(death, weight), {
 *   labels: { repair: "Repair", replacement: "Replacement" },
 *   horizons: [1, 5],
 *   mainHorizon: 5,
 * });
 * compared.main.difference; // repair minus replacement at 5 years
 * ```
 * @throws {DataError} as `survivalDifference`.
 */
export function compareSurvival(
  data: DesignedFollowUp,
  { labels, horizons, mainHorizon, confidence }: {
    labels: GroupLabels;
    horizons: readonly number[];
    mainHorizon: number;
    confidence?: number;
  },
): ComparedSurvival {
  const curves = pooledSurvivalByGroup(data, { confidence });
  const effective = effectiveAtRisk(data);
  const contrastsAt = (times: number[]) => survivalContrasts(data, { times, confidence });
  const months = Array.from(
    { length: Math.round(12 * Math.max(...horizons)) },
    (_, month) => (month + 1) / 12,
  );
  // all at once: each set of weights is worked through a single time
  const all = contrastsAt([...months, mainHorizon, ...horizons]);
  const monthly = all.slice(0, months.length)
    .filter(({ difference }) => Number.isFinite(difference.lower));
  const column = (key: "estimate" | "lower" | "upper") =>
    Float64Array.from(monthly, ({ difference }) => difference[key]);
  const [main, ...contrasts] = all.slice(months.length);
  if (main === undefined) throw new Error("unreachable: one time has one contrast");
  return {
    groups: ([[1, "repair"], [0, "replacement"]] as const).flatMap(([code, role]) =>
      curves.filter(({ group }) => Number(group) === code)
        .map(({ group, curve }): SurvivalGroup => ({
          label: labels[role],
          role,
          curve: putEffectiveNumbers(curve, group, effective),
        }))
    ),
    difference: {
      curve: {
        time: Float64Array.from(monthly, ({ time }) => time),
        estimate: column("estimate"),
        lower: column("lower"),
        upper: column("upper"),
      },
    },
    contrasts: withEffectiveNumbers(contrasts, effective),
    main,
  };
}
