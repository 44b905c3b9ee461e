import { DataError, type FollowUpColumns, type GroupColumn, valuesAt } from "../../numerics/mod.ts";
import { keepColumns, type ScaledColumns } from "../../survival/cox/mod.ts";
import { type CensoringLayout, estimateCensoring } from "./censoring.ts";

/**
 * Who is counted as still under observation when someone is censored at a time at which others have
 * an event: everyone whose time is not before it, or only those without an event at it.
 */
export type CensoringRiskSet = "everyone" | "without-events";

/**
 * Rows laid out for the subdistribution kernels: by time, and within a time events of the cause,
 * then competing events, then censorings.
 *
 * A *place* is an index into this layout, a *row* one into the caller's columns. A *group* is one
 * time with events of the cause: they stand at its start, and every place from there on was under
 * observation; places before it with a competing event still count, with weight
 * G(t-) / G(T-), G the probability of being uncensored.
 */
export interface SubdistributionDesign extends CensoringLayout, ScaledColumns {
  groupEvents: Int32Array;
  groupTime: Float64Array;
  centre: Float64Array;
}

/** Builds the layout. Cost O(n p + n groups of censoring); the sort was done before. */
export function subdistributionDesign(
  follow: FollowUpColumns,
  columns: Float64Array[],
  cause: number,
  censoringGroup: GroupColumn | undefined,
  riskSet: CensoringRiskSet,
): SubdistributionDesign {
  const { n, time, event } = follow;
  const p = columns.length;
  const rowAt = orderWithinTimes(follow, cause);
  let groups = 0;
  let competitors = 0;
  for (let i = 0; i < n; i++) {
    const row = rowAt[i]!;
    if (event[row] === cause && (i === 0 || !sameEvent(i))) groups++;
    if (event[row] !== cause && event[row] !== 0) competitors++;
  }
  function sameEvent(i: number): boolean {
    const earlier = rowAt[i - 1]!;
    return event[earlier] === cause && time[earlier] === time[rowAt[i]!];
  }
  if (groups === 0) throw new DataError("event", `${cause} in at least one row`, "none");

  let weight: Float64Array | undefined;
  if (follow.weight) {
    weight = new Float64Array(n);
    for (let i = 0; i < n; i++) weight[i] = follow.weight[rowAt[i]!]!;
  }
  const design: SubdistributionDesign = {
    n,
    p,
    rowAt,
    x: new Float64Array(n * p),
    weight,
    groups,
    groupStart: new Int32Array(groups),
    groupEvents: new Int32Array(groups),
    groupTime: new Float64Array(groups),
    competing: new Int32Array(competitors),
    inverse: new Float64Array(competitors),
    competingGroup: new Int32Array(competitors),
    censoring: {
      count: censoringGroup ? censoringGroup.labels.length : 1,
      at: new Float64Array(0),
      eventsAtRisk: riskSet === "everyone",
      place: new Int32Array(0),
      from: new Int32Array(0),
      end: new Int32Array(0),
      group: new Int32Array(0),
      censored: new Float64Array(0),
      atRisk: new Float64Array(0),
      codeAt: censoringGroup && Int32Array.from(rowAt, (row) => censoringGroup.codes[row]!),
    },
    centre: new Float64Array(p),
    scale: new Float64Array(p),
    range: new Float64Array(p),
  };
  let group = -1;
  let competitor = 0;
  for (let i = 0; i < n; i++) {
    const row = rowAt[i]!;
    if (event[row] === cause) {
      if (i === 0 || !sameEvent(i)) {
        group++;
        design.groupStart[group] = i;
        design.groupTime[group] = time[row]!;
      }
      design.groupEvents[group]!++;
    } else if (event[row] !== 0) design.competing[competitor++] = i;
  }
  estimateCensoring(design, follow);
  gather(design, columns, follow.weight);
  return design;
}

/** The same layout with only some of the covariates; `x` is compacted in place. */
export function withCovariates(
  design: SubdistributionDesign,
  kept: number[],
): SubdistributionDesign {
  return {
    ...design,
    ...keepColumns(design, kept),
    centre: valuesAt(design.centre, kept),
  };
}

/** Rows by time; within a time events of the cause, competing events, censorings. */
function orderWithinTimes({ n, time, event, order }: FollowUpColumns, cause: number): Uint32Array {
  const rowAt = new Uint32Array(n);
  for (let i = 0; i < n;) {
    let end = i;
    while (end < n && time[order[end]!] === time[order[i]!]) end++;
    let to = i;
    for (let kind = 0; kind < 3; kind++) {
      for (let j = i; j < end; j++) {
        const code = event[order[j]!]!;
        if ((code === cause ? 0 : code > 0 ? 1 : 2) === kind) rowAt[to++] = order[j]!;
      }
    }
    i = end;
  }
  return rowAt;
}

/** Centres and scales the covariates and lays them side by side. */
function gather(
  { n, p, rowAt, x, centre, scale, range }: SubdistributionDesign,
  columns: Float64Array[],
  weight: Float64Array | undefined,
): void {
  columns.forEach((column, j) => {
    const origin = column[0]!;
    let sum = 0;
    let total = 0;
    let least = Infinity;
    let most = -Infinity;
    for (let i = 0; i < n; i++) {
      const w = weight ? weight[i]! : 1;
      sum += w * (column[i]! - origin);
      total += w;
      if (column[i]! < least) least = column[i]!;
      if (column[i]! > most) most = column[i]!;
    }
    const mean = most > least ? origin + sum / total : least;
    const unit = most - least;
    let squares = 0;
    if (unit > 0) {
      for (let i = 0; i < n; i++) {
        squares += (weight ? weight[i]! : 1) * ((column[i]! - mean) / unit) ** 2;
      }
    }
    centre[j] = mean;
    scale[j] = unit > 0 ? unit * Math.sqrt(squares / total) : 1;
    range[j] = unit / scale[j]!;
    for (let i = 0; i < n; i++) x[i * p + j] = (column[rowAt[i]!]! - mean) / scale[j]!;
  });
}
