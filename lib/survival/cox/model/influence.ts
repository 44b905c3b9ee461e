import { blockEnd, type CoxDesign, type RiskSets, riskSets, walkRiskSets } from "../rows/mod.ts";

/** Per-group sums that residuals and the baseline hazard are made of. */
export interface HazardTable {
  sets: RiskSets;
  /** Sum over the group's terms of hazard * mean, groups x p. */
  hazardMean: Float64Array;
  /** The part of it that the group's own deaths are spared (0 where none are tied). */
  sparedMean: Float64Array | undefined;
  /** Mean covariates of the risk set, averaged over the group's terms, groups x p. */
  mean: Float64Array;
  /** Sum over the terms of share / (sum of risks)^2: the variance of the hazard increment. */
  variance: Float64Array;
}

/** Walks the risk sets once and keeps what every group contributed. Memory O(groups p). */
export function hazardTable(design: CoxDesign, beta: Float64Array, efron: boolean): HazardTable {
  const { p, groups } = design;
  const sets = riskSets(design);
  const anyTied = efron && design.groupDeaths.some((deaths) => deaths > 1);
  const hazardMean = new Float64Array(groups * p);
  const sparedMean = anyTied ? new Float64Array(groups * p) : undefined;
  const meanOf = new Float64Array(groups * p);
  const variance = new Float64Array(groups);
  walkRiskSets(design, beta, efron, sets, (k, fraction, share, h, mean) => {
    const terms = efron ? design.groupDeaths[k]! : 1;
    variance[k]! += h * h / share;
    for (let j = 0; j < p; j++) {
      const part = h * mean[j]!;
      hazardMean[k * p + j]! += part;
      if (sparedMean) sparedMean[k * p + j]! += fraction * part;
      meanOf[k * p + j]! += mean[j]! / terms;
    }
  });
  return { sets, hazardMean, sparedMean, mean: meanOf, variance };
}

/** The same table with every group's contribution multiplied by a factor of its own. */
export function timesFactor(table: HazardTable, factor: Float64Array): HazardTable {
  const p = table.hazardMean.length / factor.length;
  const each = (values: Float64Array) => values.map((value, k) => value * factor[k]!);
  const rows = (values: Float64Array) => values.map((v, at) => v * factor[Math.floor(at / p)]!);
  const { sets, hazardMean, sparedMean } = table;
  return {
    ...table,
    sets: { ...sets, hazard: each(sets.hazard), spared: each(sets.spared) },
    hazardMean: rows(hazardMean),
    sparedMean: sparedMean && rows(sparedMean),
  };
}

/**
 * Score residuals of the scaled covariates, one place at a time, by cumulative sums:
 *
 *   death * (x - mean at its time)  -  risk * [x * H - M],
 *
 * H the hazard and M the sum of hazard * mean that the row was exposed to. Tied deaths (Efron)
 * average the mean over the terms and are spared the removed fractions. Not multiplied by the case
 * weight. Cost O(n p).
 *
 * @param take Receives the place and its residual, valid during the call only.
 * @param atDeath One factor a group for the part of its deaths, where the table's sums were
 * multiplied by it too (a score in another direction).
 * @see Therneau, Grambsch & Fleming (1990) Biometrika 77:147-160; Lin & Wei (1989) JASA
 * 84:1074-1078.
 */
export function scoreResiduals(
  design: CoxDesign,
  table: HazardTable,
  take: (place: number, residual: Float64Array) => void,
  atDeath?: Float64Array,
): void {
  const { p, x, weight, firstGroup, groupStart, groupDeaths, stratumGroup, stratumStart } = design;
  const { sets, hazardMean, sparedMean, mean } = table;
  const { risk, hazard, spared, shift } = sets;
  const residual = new Float64Array(p);
  const sum = new Float64Array(p);
  const before = firstGroup ? new Float64Array(design.groups + 1) : undefined;
  const sumBefore = firstGroup ? new Float64Array((design.groups + 1) * p) : undefined;
  for (let s = 0; s < design.strata; s++) {
    const start = stratumGroup[s]!;
    const end = stratumGroup[s + 1]!;
    const head = start < end ? groupStart[start]! : stratumStart[s + 1]!;
    residual.fill(0);
    for (let i = stratumStart[s]!; i < head; i++) take(i, residual);
    sum.fill(0);
    let cumulative = 0;
    for (let k = start; k < end; k++) {
      if (k > start && shift[k] !== shift[k - 1]) {
        const factor = Math.exp(shift[k]! - shift[k - 1]!);
        cumulative *= factor;
        for (let j = 0; j < p; j++) sum[j]! *= factor;
      }
      if (before) {
        before[k] = cumulative;
        sumBefore!.set(sum, k * p);
      }
      cumulative += hazard[k]!;
      for (let j = 0; j < p; j++) sum[j]! += hazardMean[k * p + j]!;
      const from = groupStart[k]!;
      const alive = from + groupDeaths[k]!;
      const to = blockEnd(design, s, k);
      for (let i = from; i < to; i++) {
        const died = i < alive;
        const r = risk[i]! / (weight ? weight[i]! : 1);
        const first = before && r !== 0 ? firstGroup![i]! : -1;
        let exposed = cumulative;
        if (died) exposed -= spared[k]!;
        if (first >= 0) exposed -= before![first]!;
        for (let j = 0; j < p; j++) {
          let summed = sum[j]!;
          if (died && sparedMean) summed -= sparedMean[k * p + j]!;
          if (first >= 0) summed -= sumBefore![first * p + j]!;
          const own = x[i * p + j]!;
          const atOwn = died ? (own - mean[k * p + j]!) * (atDeath?.[k] ?? 1) : 0;
          residual[j] = atOwn - r * (own * exposed - summed);
        }
        take(i, residual);
      }
    }
  }
}
