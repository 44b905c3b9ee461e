import { DataError } from "../../../numerics/mod.ts";
import type { CoxState } from "../model/mod.ts";

/** g(t) at the event time of each group of the fit's layout. */
export function transformedTimes(
  state: CoxState,
  transform: "identity" | "log" | "rank" | "km",
): Float64Array {
  const { groupTime } = state.design;
  if (transform === "identity") return groupTime.slice();
  if (transform === "log") {
    return groupTime.map((t) => {
      if (!(t > 0)) throw new DataError("transform", 'not "log" with an event at time 0', t);
      return Math.log(t);
    });
  }
  const { times, values } = transform === "rank" ? ranks(state) : risen(state);
  return groupTime.map((t) => values[search(times, t)]!);
}

/** Mean rank of each distinct time among all observed times. */
function ranks({ follow }: CoxState): { times: number[]; values: number[] } {
  const { n, time, order } = follow;
  const times: number[] = [];
  const values: number[] = [];
  for (let i = 0; i < n;) {
    const t = time[order[i]!]!;
    let next = i + 1;
    while (next < n && time[order[next]!]! === t) next++;
    times.push(t);
    values.push((i + 1 + next) / 2);
    i = next;
  }
  return { times, values };
}

/** 1 - S(t-) at each distinct time: pooled over strata, each row counted once. */
function risen({ follow }: CoxState): { times: number[]; values: number[] } {
  const { n, time, event, entry, order, entryOrder } = follow;
  const times: number[] = [];
  const values: number[] = [];
  let survival = 1;
  let entered = entry ? 0 : n;
  for (let i = 0; i < n;) {
    const t = time[order[i]!]!;
    while (entry && entered < n && entry[entryOrder![entered]!]! < t) entered++;
    const atRisk = entered - i;
    let deaths = 0;
    let next = i;
    for (; next < n && time[order[next]!]! === t; next++) deaths += event[order[next]!]!;
    times.push(t);
    values.push(1 - survival);
    if (deaths > 0) survival *= 1 - deaths / atRisk;
    i = next;
  }
  return { times, values };
}

/** Index of t in ascending times that contain it. */
function search(times: number[], t: number): number {
  let low = 0;
  let high = times.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (times[middle]! < t) low = middle + 1;
    else high = middle;
  }
  return low;
}
