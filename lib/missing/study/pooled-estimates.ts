import type { DesignedFollowUp } from "../../balance/samples/mod.ts";
import { keptResult } from "../../cohort/kept/mod.ts";
import {
  type CumulativeIncidence,
  cumulativeIncidenceByGroup,
  effectiveAtRisk,
  type IncidenceContrast,
  incidenceDifference,
  type IncidenceOptions,
  type SurvivalContrast,
  survivalDifference,
  withEffectiveNumbers,
} from "../../competing/incidence/mod.ts";
import { type ConstantRatio, twoHazardRatios } from "../../competing/subdistribution/mod.ts";
import {
  type KaplanMeier,
  kaplanMeierByGroup,
  type KaplanMeierOptions,
  type RestrictedMeanDifference,
  restrictedMeanDifference,
  type RestrictedMeanOptions,
} from "../../survival/curve/mod.ts";
import {
  type FromLandmark,
  fromLandmark,
  type GroupHazardRatio,
  groupHazardRatio,
  type GroupRatioByPeriod,
  groupRatioByPeriod,
} from "../../survival/groups/mod.ts";
import {
  type Contrast,
  medianP,
  poolContrast,
  poolContrasts,
  type PooledContrast,
  poolIncidence,
  type PoolOptions,
  poolRatio,
  poolSurvival,
} from "../pool/mod.ts";

/**
 * An estimate made under the design of each completed set and pooled by Rubin's rules; of data
 * without such sets, as it is.
 *
 * What is counted (events, numbers at risk) is that of the data themselves, whose weights are means
 * over the sets, or whose pairs are those of the mean score.
 *
 * @example
 * ```ts ignore
 * import { followUpOf, openAnalysis, pooledContrasts, survivalDifference, underWeights, weightedSample } from "mitral";
 *
 * const { analysis, study } = await openAnalysis();
 * const alive = underWeights(followUpOf(analysis, "death"), weightedSample(analysis, study));
 * pooledContrasts(alive, (data) => survivalDifference(data, { times: [1, 5] }));
 * ```
 * @throws {DataError} as the estimate does.
 */
export function pooledContrasts<C extends Contrast>(
  data: DesignedFollowUp,
  estimate: (data: DesignedFollowUp) => readonly C[],
  options: PoolOptions = {},
): (C | PooledContrast<C>)[] {
  const counted = estimate(data);
  if (!data.inSets) return [...counted];
  return poolContrasts(data.inSets.map(estimate), { units: unitsOf(data), counted, ...options });
}

/** `survivalDifference`, pooled over completed sets where there are such. */
export function survivalContrasts(
  data: DesignedFollowUp,
  options: ContrastOptions,
): SurvivalContrast[] {
  return keptContrasts("survival", data, options, (own) => survivalDifference(own, options));
}

/** `incidenceDifference` of the first cause, pooled over completed sets where there are such. */
export function incidenceContrasts(
  data: DesignedFollowUp,
  options: ContrastOptions,
): IncidenceContrast[] {
  const estimate = (own: DesignedFollowUp) => incidenceDifference(own, { cause: 1, ...options });
  return keptContrasts("incidence", data, options, estimate);
}

/** Times and level of contrasts. */
interface ContrastOptions {
  times: readonly number[];
  confidence?: number;
}

function keptContrasts<C extends Contrast>(
  of: string,
  data: DesignedFollowUp,
  options: ContrastOptions,
  estimate: (own: DesignedFollowUp) => readonly C[],
): C[] {
  const { confidence } = options;
  const make = () => pooledContrasts(data, estimate, { confidence });
  return keptResult(() => ["contrasts", of, data, options], make);
}

/** Kaplan-Meier by group, pooled over completed sets where there are such. */
export function pooledSurvivalByGroup(
  data: DesignedFollowUp,
  options: KaplanMeierOptions = {},
): { group: string | number; curve: KaplanMeier }[] {
  const counted = kaplanMeierByGroup(data, options);
  if (!data.inSets) return counted;
  const each = data.inSets.map((set) => kaplanMeierByGroup(set, options));
  const pooling = { confidence: options.confidence, units: unitsOf(data) };
  return counted.map(({ group, curve }, k) => ({
    group,
    curve: poolSurvival(each.map((set) => set[k]!.curve), {
      ...pooling,
      counted: curve,
      keep: (make) => keptResult(() => ["pooled survival", k, data, options], make),
    }),
  }));
}

/** Cumulative incidence by group, pooled over completed sets where there are such. */
export function pooledIncidenceByGroup(
  data: DesignedFollowUp,
  options: IncidenceOptions = {},
): (CumulativeIncidence & { group: string | number })[] {
  const counted = cumulativeIncidenceByGroup(data, options);
  if (!data.inSets) return counted;
  const each = data.inSets.map((set) => cumulativeIncidenceByGroup(set, options));
  const pooling = { confidence: options.confidence, units: unitsOf(data) };
  return counted.map((curve, k) =>
    // not spread, which would work out what nobody may ask for
    Object.assign(
      poolIncidence(each.map((set) => set[k]!), {
        ...pooling,
        counted: curve,
        keep: (make, cause) =>
          keptResult(() => ["pooled incidence", k, cause, data, options], make),
      }),
      { group: curve.group },
    )
  );
}

/** `restrictedMeanDifference`, pooled over completed sets where there are such. */
export function pooledRestrictedMean(
  data: DesignedFollowUp,
  options: RestrictedMeanOptions,
): RestrictedMeanDifference {
  const counted = restrictedMeanDifference(data, options);
  if (!data.inSets) return counted;
  return poolContrast(data.inSets.map((set) => restrictedMeanDifference(set, options)), {
    counted,
    confidence: options.confidence,
    units: unitsOf(data),
    groups: "plain",
  });
}

/**
 * `groupHazardRatio`, pooled over completed sets where there are such; of the test of one ratio the
 * median p value.
 */
export function pooledHazardRatio(
  data: DesignedFollowUp,
  options: NonNullable<Parameters<typeof groupHazardRatio>[1]> = {},
): GroupHazardRatio {
  return keptResult(() => ["hazard ratio", data, options], () => {
    const each = (data.inSets ?? [data]).map((set) => groupHazardRatio(set, options));
    return pooledRatio(each, data, options.confidence);
  });
}

/** `twoHazardRatios`, pooled as {@link pooledHazardRatio}. */
export function pooledTwoHazards(
  data: DesignedFollowUp,
  options: Parameters<typeof twoHazardRatios>[1],
): ConstantRatio[] {
  const each = (data.inSets ?? [data]).map((set) => twoHazardRatios(set, options));
  return each[0]!.flatMap(({ kind }) => {
    const own = each.flatMap((ratios) => ratios.find((one) => one.kind === kind) ?? []);
    return own.length === each.length ? [pooledRatio(own, data, options.confidence)] : [];
  });
}

/**
 * `groupRatioByPeriod`, each period pooled as {@link pooledHazardRatio}; the median p of equality.
 */
export function pooledRatioByPeriod(
  data: DesignedFollowUp,
  options: Parameters<typeof groupRatioByPeriod>[1],
): GroupRatioByPeriod {
  const each = (data.inSets ?? [data]).map((set) => groupRatioByPeriod(set, options));
  const [first] = each as [GroupRatioByPeriod];
  if (each.length === 1) return first;
  const pooling = { confidence: options.confidence, units: unitsOf(data) };
  return {
    ...first,
    periods: first.periods.map((_, k) =>
      poolRatio(each.map(({ periods }) => periods[k]!), pooling)
    ),
    equalityP: medianP(each.map(({ equalityP }) => equalityP)),
  };
}

/**
 * The difference in survival from a landmark on, among those at risk then: `fromLandmark` with
 * `survivalDifference`, pooled over completed sets where there are such.
 *
 * @param options.times Counted from the landmark.
 */
export function pooledFromLandmark(
  data: DesignedFollowUp,
  at: number,
  options: { times: number[]; confidence?: number },
): { contrasts: SurvivalContrast[]; counts: FromLandmark["counts"] } {
  const later = (set: DesignedFollowUp) => {
    const { inSets: _, design: _design, ...columns } = set;
    return fromLandmark(columns, at);
  };
  const contrasts = pooledContrasts(
    data,
    (set) => survivalDifference(later(set).data, options),
    { confidence: options.confidence },
  );
  const { data: those, counts } = later(data);
  return { contrasts: withEffectiveNumbers(contrasts, effectiveAtRisk(those)), counts };
}

function pooledRatio<R extends GroupHazardRatio>(
  each: readonly R[],
  data: DesignedFollowUp,
  confidence: number | undefined,
): R {
  if (each.length === 1) return each[0]!;
  return {
    ...poolRatio(each, { confidence, units: unitsOf(data) }),
    proportionalP: medianP(each.map(({ proportionalP }) => proportionalP)),
  };
}

/** Independent units: pairs where there are pairs, else patients. */
function unitsOf({ cluster, time }: DesignedFollowUp): number {
  if (!cluster) return time.length;
  let units = counted.get(cluster);
  if (units === undefined) counted.set(cluster, units = new Set(cluster).size);
  return units;
}

const counted = new WeakMap<Int32Array, number>();
