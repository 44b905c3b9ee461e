import type { FollowUpColumns } from "../../numerics/mod.ts";

/** Splits rows, already in order, by code. */
export function bucket(order: Uint32Array, codes: Int32Array, count: number): Uint32Array[] {
  if (count === 1) return [order];
  const sizes = new Uint32Array(count);
  for (let i = 0; i < order.length; i++) sizes[codes[i]!]!++;
  const buckets = Array.from(sizes, (size) => new Uint32Array(size));
  const filled = new Uint32Array(count);
  for (let i = 0; i < order.length; i++) {
    const row = order[i]!;
    const code = codes[row]!;
    buckets[code]![filled[code]!++] = row;
  }
  return buckets;
}

/** What happened at each time with an event, groups side by side (row j, group g at j k + g). */
export interface Steps {
  count: number;
  /** At risk; 0 once the group's event-free probability is 0. */
  atRisk: Float64Array;
  own: Float64Array;
  other: Float64Array;
  /** Event-free probability just before and just after. */
  before: Float64Array;
  after: Float64Array;
  /** Cumulative incidence of the cause just before. */
  incidence: Float64Array;
}

/** Goes through one stratum's rows in order of time and counts, group by group. Cost O(n + m k). */
export function walk(
  { time, event, entry }: FollowUpColumns,
  rows: Uint32Array,
  entries: Uint32Array | undefined,
  codes: Int32Array,
  k: number,
  cause: number,
): Steps {
  const n = rows.length;
  let times = 0;
  for (let i = 0; i < n;) {
    const now = time[rows[i]!]!;
    let some = false;
    for (; i < n && time[rows[i]!]! === now; i++) some ||= event[rows[i]!]! > 0;
    if (some) times++;
  }
  const column = () => new Float64Array(times * k);
  const steps: Steps = {
    count: times,
    atRisk: column(),
    own: column(),
    other: column(),
    before: column(),
    after: column(),
    incidence: column(),
  };
  const risk = new Float64Array(k);
  const free = new Float64Array(k).fill(1);
  const reached = new Float64Array(k);
  const gone = new Float64Array(k);
  if (!entries) { for (let i = 0; i < n; i++) risk[codes[rows[i]!]!]!++; }
  let entering = 0;
  let j = 0;
  for (let i = 0; i < n;) {
    const now = time[rows[i]!]!;
    if (entries) {
      while (entering < n && entry![entries[entering]!]! < now) {
        risk[codes[entries[entering++]!]!]!++;
      }
    }
    const base = j * k;
    gone.fill(0);
    let some = false;
    for (; i < n && time[rows[i]!]! === now; i++) {
      const row = rows[i]!;
      const g = codes[row]!;
      gone[g]!++;
      if (event[row] === 0) continue;
      some = true;
      if (j < times) (event[row] === cause ? steps.own : steps.other)[base + g]!++;
    }
    if (some) {
      for (let g = 0; g < k; g++) {
        const at = base + g;
        steps.before[at] = free[g]!;
        steps.incidence[at] = reached[g]!;
        if (risk[g]! > 0 && free[g]! > 0) {
          steps.atRisk[at] = risk[g]!;
          const failing = steps.own[at]! + steps.other[at]!;
          reached[g]! += free[g]! * steps.own[at]! / risk[g]!;
          free[g] = failing === risk[g] ? 0 : free[g]! * (risk[g]! - failing) / risk[g]!;
        }
        steps.after[at] = free[g]!;
      }
      j++;
    }
    for (let g = 0; g < k; g++) risk[g]! -= gone[g]!;
  }
  return steps;
}
