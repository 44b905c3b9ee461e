import {
  checkLength,
  DataError,
  type FollowUpColumns,
  followUpColumns,
  groupColumn,
  type Labels,
} from "../../numerics/mod.ts";
import type { TransitionRows } from "./transition-rows.ts";

/** Validated rows of time in states, and what happens at each time with a transition. */
export interface StateTable {
  states: (string | number)[];
  follow: FollowUpColumns;
  /** Codes of each row's state, and of the next one (-1: still there when last seen). */
  from: Int32Array;
  to: Int32Array;
  /** Code of each row's subject, and how many subjects. */
  subject: Int32Array;
  subjects: number;
  /** Distinct times of transitions, ascending. */
  time: Float64Array;
  /** Weight at risk in each state just before each time (times x states). */
  atRisk: Float64Array;
  /** Matrix I + dA of each time (times x states x states): row h is where those in h go. */
  step: Float64Array;
  /** Share of each state among those under observation at the start. */
  initial: Float64Array;
  /** Rows under observation at the start, and their weight. */
  starters: Uint32Array;
  starting: number;
  /** When observation starts: the earliest entry. */
  start: number;
  /** The last observed time. */
  end: number;
}

/** @throws {DataError} on a value out of range or rows of a subject that do not join up. */
export function stateTable(data: TransitionRows, asked?: Labels): StateTable {
  const n = data.time?.length ?? 0;
  for (const name of ["subject", "from", "to", "entry"] as const) checkLength(name, data[name], n);
  const states = statesOf(data, asked);
  const place = new Map(states.map((state, code) => [state, code]));
  const codesOf = (name: "from" | "to") =>
    Int32Array.from({ length: n }, (_, i) => {
      const label = data[name][i]!;
      if (name === "to" && label === "") return -1;
      const code = place.get(label);
      if (code === undefined) throw new DataError(name, `one of ${states.join(", ")}`, label, i);
      return code;
    });
  const from = codesOf("from");
  const to = codesOf("to");
  for (let i = 0; i < n; i++) {
    if (to[i] === from[i]) throw new DataError("to", 'another state, or ""', data.to[i], i);
  }
  const follow = followUpColumns(
    { ...data, event: to.map((code) => code + 1) },
    { causes: true },
  );
  const subject = groupColumn("subject", data.subject, n);
  checkPaths(follow, subject.codes, from, to);
  const entry = follow.entry!;
  const start = entry[follow.entryOrder![0]!]!;
  const table: StateTable = {
    states,
    follow,
    from,
    to,
    subject: subject.codes,
    subjects: subject.labels.length,
    ...transitions(follow, from, to, states.length),
    initial: new Float64Array(states.length),
    starters: Uint32Array.from(
      { length: n },
      (_, i) => i,
    ).filter((i) => entry[i] === start),
    starting: 0,
    start,
    end: follow.time[follow.order[n - 1]!]!,
  };
  for (const i of table.starters) {
    const w = follow.weight ? follow.weight[i]! : 1;
    table.initial[from[i]!]! += w;
    table.starting += w;
  }
  for (let s = 0; s < states.length; s++) table.initial[s]! /= table.starting;
  return table;
}

/** The states seen, or those asked for, in their order. */
function statesOf(data: TransitionRows, asked?: Labels): (string | number)[] {
  if (asked !== undefined) return [...new Set(Array.from(asked))];
  const seen = new Set<string | number>();
  for (let i = 0; i < data.from.length; i++) seen.add(data.from[i]!);
  for (let i = 0; i < data.to.length; i++) if (data.to[i] !== "") seen.add(data.to[i]!);
  return [...seen];
}

/** A subject's rows must follow on from each other, in time and in state. */
function checkPaths(
  { n, time, entry, entryOrder }: FollowUpColumns,
  subject: Int32Array,
  from: Int32Array,
  to: Int32Array,
): void {
  const previous = new Int32Array(n).fill(-1);
  for (let place = 0; place < n; place++) {
    const row = entryOrder![place]!;
    const before = previous[subject[row]!]!;
    if (before >= 0) {
      if (time[before] !== entry![row]) {
        throw new DataError(
          "entry",
          `${time[before]}, where the subject's row before it ends (row ${before})`,
          entry![row],
          row,
        );
      }
      const expected = to[before]! < 0 ? from[before]! : to[before]!;
      if (from[row] !== expected) {
        throw new DataError(
          "from",
          `the state in which the subject's row before it ends (row ${before})`,
          from[row],
          row,
        );
      }
    }
    previous[subject[row]!] = row;
  }
}

function transitions(
  { n, time, entry, weight, order, entryOrder }: FollowUpColumns,
  from: Int32Array,
  to: Int32Array,
  count: number,
): Pick<StateTable, "time" | "atRisk" | "step"> {
  const times: number[] = [];
  for (let place = 0; place < n; place++) {
    const row = order[place]!;
    if (to[row]! >= 0 && times.at(-1) !== time[row]) times.push(time[row]!);
  }
  const m = times.length;
  const atRisk = new Float64Array(m * count);
  const step = new Float64Array(m * count * count);
  const risk = new Float64Array(count);
  const rows = new Int32Array(count);
  const moved = new Float64Array(count * count);
  const leaving = new Int32Array(count);
  let exits = 0;
  let entries = 0;
  for (let j = 0; j < m; j++) {
    const now = times[j]!;
    // everyone in before now, less everyone out before now
    for (; entries < n && entry![entryOrder![entries]!]! < now; entries++) {
      const row = entryOrder![entries]!;
      risk[from[row]!]! += weight ? weight[row]! : 1;
      rows[from[row]!]!++;
    }
    for (; exits < n && time[order[exits]!]! < now; exits++) leave(order[exits]!);
    moved.fill(0);
    leaving.fill(0);
    for (let place = exits; place < n && time[order[place]!] === now; place++) {
      const row = order[place]!;
      if (to[row]! < 0) continue;
      moved[from[row]! * count + to[row]!]! += weight ? weight[row]! : 1;
      leaving[from[row]!]!++;
    }
    for (let h = 0; h < count; h++) {
      atRisk[j * count + h] = risk[h]!;
      const base = (j * count + h) * count;
      step[base + h] = 1;
      if (leaving[h] === 0) continue;
      let stay = 1;
      for (let k = 0; k < count; k++) {
        if (k === h) continue;
        const share = moved[h * count + k]! / risk[h]!;
        step[base + k] = share;
        stay -= share;
      }
      step[base + h] = leaving[h] === rows[h] ? 0 : stay;
    }
  }
  function leave(row: number): void {
    const h = from[row]!;
    rows[h]!--;
    risk[h] = rows[h] === 0 ? 0 : risk[h]! - (weight ? weight[row]! : 1);
  }
  return { time: Float64Array.from(times), atRisk, step };
}
