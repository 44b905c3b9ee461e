import { DataError, type FollowUpColumns, type GroupColumn } from "../../numerics/mod.ts";

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
export interface SubdistributionDesign {
  n: number;
  p: number;
  /** Caller's row at each place. */
  rowAt: Uint32Array;
  /** n x p, row-major, centred and scaled. */
  x: Float64Array;
  /** Case weights by place; undefined when all are 1. */
  weight: Float64Array | undefined;
  groups: number;
  groupStart: Int32Array;
  groupEvents: Int32Array;
  groupTime: Float64Array;
  /** Competing events, by place, ascending. */
  competing: Int32Array;
  /** 1 / G(T-) of each of them. */
  inverse: Float64Array;
  /** Their censoring group. */
  competingGroup: Int32Array;
  censoring: CensoringSteps;
  centre: Float64Array;
  scale: Float64Array;
  /** Largest less smallest scaled value of each covariate. */
  range: Float64Array;
}

/** The estimated distribution of censoring, in each of `count` groups of rows. */
export interface CensoringSteps {
  count: number;
  /** G(t-) at each group of events; count values a group. */
  at: Float64Array;
  /** Whether an event at the time of a censoring is in its risk set. */
  eventsAtRisk: boolean;
  /** One entry a distinct time and censoring group with a censoring, by time: its first place. */
  place: Int32Array;
  /** The first place of that time with a censoring, and the place after its last. */
  from: Int32Array;
  end: Int32Array;
  group: Int32Array;
  /** Weight censored and weight at risk of it. */
  censored: Float64Array;
  atRisk: Float64Array;
  /** Censoring group of each place; undefined when there is one group. */
  codeAt: Int32Array | undefined;
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
  const { n, p, x } = design;
  const q = kept.length;
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < q; j++) x[i * q + j] = x[i * p + kept[j]!]!;
  }
  const pick = (column: Float64Array) => Float64Array.from(kept, (j) => column[j]!);
  return {
    ...design,
    p: q,
    x: x.subarray(0, n * q),
    centre: pick(design.centre),
    scale: pick(design.scale),
    range: pick(design.range),
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

/**
 * Kaplan-Meier of censoring, G, within each censoring group: G(t-) at each event of the cause and at
 * each competing event, and the steps themselves for the variance.
 */
function estimateCensoring(
  design: SubdistributionDesign,
  { time, event }: FollowUpColumns,
): void {
  const { n, rowAt, weight, groups, groupStart, censoring, competing } = design;
  const { count, codeAt } = censoring;
  const without = !censoring.eventsAtRisk;
  const atRisk = new Float64Array(count); // weight whose time is not before now
  const rows = new Int32Array(count);
  // suffix sums, so that what is at risk is never a difference
  let censorings = 0;
  for (let i = 0; i < n; i++) if (event[rowAt[i]!] === 0) censorings++;
  const steps = {
    place: new Int32Array(censorings),
    from: new Int32Array(censorings),
    end: new Int32Array(censorings),
    group: new Int32Array(censorings),
    censored: new Float64Array(censorings),
    atRisk: new Float64Array(censorings),
    all: new Uint8Array(censorings),
  };
  const censored = new Float64Array(count);
  const failed = new Float64Array(count);
  const failedRows = new Int32Array(count);
  const leavingRows = new Int32Array(count);
  let first = censorings;
  for (let end = n; end > 0;) {
    let start = end - 1;
    while (start > 0 && time[rowAt[start - 1]!] === time[rowAt[start]!]) start--;
    censored.fill(0);
    failed.fill(0);
    failedRows.fill(0);
    leavingRows.fill(0);
    let firstCensored = end;
    for (let i = end - 1; i >= start; i--) {
      const g = codeAt ? codeAt[i]! : 0;
      const w = weight ? weight[i]! : 1;
      atRisk[g]! += w;
      rows[g]!++;
      if (event[rowAt[i]!] === 0) {
        censored[g]! += w;
        leavingRows[g]!++;
        firstCensored = i;
      } else {
        failed[g]! += w;
        failedRows[g]!++;
      }
    }
    for (let g = count - 1; g >= 0; g--) {
      if (leavingRows[g] === 0) continue;
      first--;
      steps.place[first] = start;
      steps.from[first] = firstCensored;
      steps.end[first] = end;
      steps.group[first] = g;
      steps.censored[first] = censored[g]!;
      steps.atRisk[first] = atRisk[g]! - (without ? failed[g]! : 0);
      steps.all[first] = leavingRows[g] === rows[g]! - (without ? failedRows[g]! : 0) ? 1 : 0;
    }
    end = start;
  }
  // forwards: G(t-)
  const free = new Float64Array(count).fill(1);
  censoring.at = new Float64Array(groups * count);
  let step = first;
  let k = 0;
  let c = 0;
  while (k < groups || c < competing.length) {
    const place = Math.min(
      k < groups ? groupStart[k]! : n,
      c < competing.length ? competing[c]! : n,
    );
    for (; step < censorings && steps.end[step]! <= place; step++) {
      const g = steps.group[step]!;
      free[g] = steps.all[step] ? 0 : free[g]! * (1 - steps.censored[step]! / steps.atRisk[step]!);
    }
    if (k < groups && groupStart[k] === place) {
      censoring.at.set(free, k * count);
      k++;
    } else {
      const g = codeAt ? codeAt[place]! : 0;
      design.competingGroup[c] = g;
      design.inverse[c] = 1 / free[g]!;
      c++;
    }
  }
  censoring.place = steps.place.subarray(first);
  censoring.from = steps.from.subarray(first);
  censoring.end = steps.end.subarray(first);
  censoring.group = steps.group.subarray(first);
  censoring.censored = steps.censored.subarray(first);
  censoring.atRisk = steps.atRisk.subarray(first);
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
