import type { FollowUpColumns } from "../../numerics/mod.ts";

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

/** What of the layout is needed to estimate the distribution of censoring, and is filled by it. */
export interface CensoringLayout {
  /** Rows. */
  n: number;
  /** Caller's row at each place. */
  rowAt: Uint32Array;
  /** Case weights by place; undefined when all are 1. */
  weight: Float64Array | undefined;
  /** Distinct times with events of the cause, and the place at which each starts. */
  groups: number;
  groupStart: Int32Array;
  /** Competing events, by place, ascending. */
  competing: Int32Array;
  /** 1 / G(T-) of each of them. */
  inverse: Float64Array;
  /** Their censoring group. */
  competingGroup: Int32Array;
  censoring: CensoringSteps;
}

/**
 * Kaplan-Meier of censoring, G, within each censoring group: G(t-) at each event of the cause and
 * at each competing event, and the steps themselves for the variance.
 */
export function estimateCensoring(
  design: CensoringLayout,
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
