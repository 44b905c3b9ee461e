import { DataError, type FollowUpColumns, type GroupColumn } from "../../../numerics/mod.ts";
import { keepColumns, type ScaledColumns } from "./scaled-columns.ts";

/**
 * Rows laid out for Cox kernels: sorted by stratum, then time, then deaths before censorings, with
 * the covariates centred within the stratum, scaled, and side by side for each row.
 *
 * Centring within the stratum changes no partial likelihood (a shift common to a risk set cancels)
 * and keeps digits when strata lie far apart. A *place* is an index into this layout, a *row* one
 * into the caller's columns. A *group* is one stratum's rows at one event time: its deaths stand
 * first, and every place from its start to the end of the stratum was under observation then.
 */
export interface CoxDesign extends ScaledColumns {
  /** Caller's row at each place. */
  rowAt: Uint32Array;
  /** Case weights by place; undefined when all are 1. */
  weight: Float64Array | undefined;
  strata: number;
  /** First place of each stratum, and n at the end. */
  stratumStart: Int32Array;
  /** First group of each stratum, and the number of groups at the end. */
  stratumGroup: Int32Array;
  groups: number;
  /** First place of each group. */
  groupStart: Int32Array;
  groupDeaths: Int32Array;
  groupTime: Float64Array;
  /** Delayed entry: the first group at which each place is at risk. */
  firstGroup: Int32Array | undefined;
  /** Delayed entry: places at risk at least once, by ascending firstGroup. */
  byFirstGroup: Int32Array | undefined;
  /** What was subtracted: one column a covariate, one value a stratum. */
  centre: Float64Array[];
}

/** Builds the layout. Cost O(n p); the sort was done by `followUpColumns`. */
export function coxDesign(
  follow: FollowUpColumns,
  columns: Float64Array[],
  stratum: GroupColumn | undefined,
): CoxDesign {
  const { n, time, event, entry } = follow;
  const p = columns.length;
  const strata = stratum ? stratum.labels.length : 1;
  const rowAt = stratum && strata > 1
    ? byGroup(follow.order, stratum.codes, strata)
    : follow.order.slice();
  const stratumStart = new Int32Array(strata + 1);
  if (stratum) { for (let i = 0; i < n; i++) stratumStart[stratum.codes[i]! + 1]!++; }
  else stratumStart[1] = n;
  for (let s = 0; s < strata; s++) stratumStart[s + 1]! += stratumStart[s]!;

  // Read in place order once: the passes below then run along memory.
  const timeAt = new Float64Array(n);
  const died = new Uint8Array(n);
  let events = 0;
  for (let i = 0; i < n; i++) {
    const row = rowAt[i]!;
    timeAt[i] = time[row]!;
    events += died[i] = event[row]!;
  }
  if (events === 0) throw new DataError("event", "1 in at least one row", "none");
  deathsFirst(rowAt, stratumStart, timeAt, died);
  const groupStart = new Int32Array(events);
  const groupDeaths = new Int32Array(events);
  const groupTime = new Float64Array(events);
  const stratumGroup = new Int32Array(strata + 1);
  let groups = 0;
  for (let s = 0; s < strata; s++) {
    stratumGroup[s] = groups;
    for (let i = stratumStart[s]!; i < stratumStart[s + 1]!; i++) {
      if (died[i] === 0) continue;
      if (groups > stratumGroup[s]! && groupTime[groups - 1] === timeAt[i]) {
        groupDeaths[groups - 1]!++;
      } else {
        groupStart[groups] = i;
        groupDeaths[groups] = 1;
        groupTime[groups++] = timeAt[i]!;
      }
    }
  }
  stratumGroup[strata] = groups;

  let weight: Float64Array | undefined;
  if (follow.weight) {
    weight = new Float64Array(n);
    for (let i = 0; i < n; i++) weight[i] = follow.weight[rowAt[i]!]!;
  }
  const scale = new Float64Array(p);
  const range = new Float64Array(p);
  const x = new Float64Array(n * p);
  const centre = columns.map((column, j) => {
    const spread = describe(column, follow.weight, stratum?.codes, strata);
    scale[j] = spread.scale;
    range[j] = spread.range / spread.scale;
    return spread.centre;
  });
  const design: CoxDesign = {
    n,
    p,
    rowAt,
    x,
    weight,
    strata,
    stratumStart,
    stratumGroup,
    groups,
    groupStart: groupStart.subarray(0, groups),
    groupDeaths: groupDeaths.subarray(0, groups),
    groupTime: groupTime.subarray(0, groups),
    firstGroup: undefined,
    byFirstGroup: undefined,
    centre,
    scale,
    range,
  };
  gather(design, columns);
  if (entry && follow.entryOrder) delayEntry(design, entry, follow.entryOrder, stratum?.codes);
  return design;
}

/** The same layout with only some of the covariates; `x` is compacted in place. */
export function keepCovariates(design: CoxDesign, kept: number[]): CoxDesign {
  return {
    ...design,
    ...keepColumns(design, kept),
    centre: kept.map((j) => design.centre[j]!),
  };
}

/** The end of the block of places whose last event time is that of group k of stratum s. */
export function blockEnd(design: CoxDesign, s: number, k: number): number {
  return k + 1 < design.stratumGroup[s + 1]!
    ? design.groupStart[k + 1]!
    : design.stratumStart[s + 1]!;
}

/** A stable counting sort of `order` by code. */
function byGroup(order: Uint32Array, codes: Int32Array, count: number): Uint32Array {
  const next = new Int32Array(count + 1);
  for (let i = 0; i < codes.length; i++) next[codes[i]! + 1]!++;
  for (let g = 0; g < count; g++) next[g + 1]! += next[g]!;
  const sorted = new Uint32Array(order.length);
  for (let i = 0; i < order.length; i++) sorted[next[codes[order[i]!]!]!++] = order[i]!;
  return sorted;
}

/** Moves deaths before censorings within each run of one stratum and time, stable. */
function deathsFirst(
  rowAt: Uint32Array,
  stratumStart: Int32Array,
  timeAt: Float64Array,
  died: Uint8Array,
): void {
  const censored: number[] = [];
  for (let s = 0; s + 1 < stratumStart.length; s++) {
    const end = stratumStart[s + 1]!;
    for (let i = stratumStart[s]!; i < end;) {
      const t = timeAt[i]!;
      let next = i + 1;
      while (next < end && timeAt[next] === t) next++;
      if (next > i + 1) {
        censored.length = 0;
        let to = i;
        for (let j = i; j < next; j++) {
          if (died[j] === 0) censored.push(rowAt[j]!);
          else rowAt[to++] = rowAt[j]!;
        }
        died.fill(1, i, to).fill(0, to, next);
        for (const row of censored) rowAt[to++] = row;
      }
      i = next;
    }
  }
}

/** Stratum means (weighted), pooled root mean square about them, and the range. */
function describe(
  column: Float64Array,
  weight: Float64Array | undefined,
  codes: Int32Array | undefined,
  strata: number,
): { centre: Float64Array; scale: number; range: number } {
  const n = column.length;
  const origin = column[0]!;
  const centre = new Float64Array(strata);
  let least = Infinity;
  let most = -Infinity;
  for (let i = 0; i < n; i++) {
    const value = column[i]!;
    if (value < least) least = value;
    if (value > most) most = value;
  }
  const unit = most - least;
  if (!(unit > 0)) return { centre: centre.fill(least), scale: 1, range: 0 };
  let squares = 0;
  let weights = 0;
  if (strata === 1 && !weight) {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += column[i]! - origin;
    const mean = origin + sum / n;
    const perUnit = 1 / unit;
    for (let i = 0; i < n; i++) {
      const deviation = (column[i]! - mean) * perUnit;
      squares += deviation * deviation;
    }
    centre[0] = mean;
    weights = n;
  } else {
    const total = new Float64Array(strata);
    for (let i = 0; i < n; i++) {
      const s = codes ? codes[i]! : 0;
      const w = weight ? weight[i]! : 1;
      centre[s]! += w * (column[i]! - origin);
      total[s]! += w;
    }
    for (let s = 0; s < strata; s++) {
      weights += total[s]!;
      centre[s] = origin + centre[s]! / total[s]!;
    }
    for (let i = 0; i < n; i++) {
      const deviation = (column[i]! - centre[codes ? codes[i]! : 0]!) / unit;
      squares += (weight ? weight[i]! : 1) * deviation * deviation;
    }
  }
  const scale = Math.sqrt(squares / weights) * unit;
  return { centre, scale: scale > 1e-12 * unit ? scale : unit, range: unit };
}

/** Fills `x`, a covariate at a time: its column stays in the cache while it is read at random. */
function gather(design: CoxDesign, columns: Float64Array[]): void {
  const { p, x, rowAt, centre, scale, stratumStart, strata } = design;
  for (let j = 0; j < p; j++) {
    const column = columns[j]!;
    const perUnit = 1 / scale[j]!;
    for (let s = 0; s < strata; s++) {
      const middle = centre[j]![s]!;
      for (let i = stratumStart[s]!; i < stratumStart[s + 1]!; i++) {
        x[i * p + j] = (column[rowAt[i]!]! - middle) * perUnit;
      }
    }
  }
}

/** Finds, for every place, the first event time of its stratum after its entry. */
function delayEntry(
  design: CoxDesign,
  entry: Float64Array,
  entryOrder: Uint32Array,
  codes: Int32Array | undefined,
): void {
  const { n, rowAt, strata, stratumStart, stratumGroup, groupStart, groupTime } = design;
  const order = codes && strata > 1 ? byGroup(entryOrder, codes, strata) : entryOrder;
  const placeOf = new Int32Array(n);
  for (let i = 0; i < n; i++) placeOf[rowAt[i]!] = i;
  const firstGroup = new Int32Array(n);
  const byFirst = new Int32Array(n);
  let useful = 0;
  for (let s = 0; s < strata; s++) {
    let k = stratumGroup[s]!;
    const end = stratumGroup[s + 1]!;
    for (let i = stratumStart[s]!; i < stratumStart[s + 1]!; i++) {
      const row = order[i]!;
      while (k < end && groupTime[k]! <= entry[row]!) k++;
      const place = placeOf[row]!;
      firstGroup[place] = k;
      if (k < end && place >= groupStart[k]!) byFirst[useful++] = place;
    }
  }
  design.firstGroup = firstGroup;
  design.byFirstGroup = byFirst.subarray(0, useful);
}
