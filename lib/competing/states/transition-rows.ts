import {
  binaryColumn,
  checkDataColumns,
  checkLength,
  DataError,
  type Labels,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";

/** Rows of time spent in states: in `from` on (entry, time], then on to `to`. */
export interface TransitionRows {
  /** Whose row it is. */
  subject: Labels;
  /** State in which each row begins. */
  from: Labels;
  /** The state moved to at `time`; "" where still in `from` when last seen. */
  to: Labels;
  /** When each row begins to be at risk. */
  entry: Numbers;
  /** Times, in one unit. */
  time: Numbers;
  /** Case weight, above 0, one value a subject repeated on its rows. */
  weight?: Numbers;
}

/** One row a patient: when each stage was reached, and how follow-up ended. */
export interface StageTimes {
  /** End of follow-up: death or last contact. */
  time: Numbers;
  /** 1 where follow-up ended in death. */
  death: Numbers;
  /** When each stage was reached, in the order of the stages; Infinity where never. */
  stages: Record<string, Numbers>;
}

/**
 * Turns one row a patient into rows of time spent in states, for `stateOccupation`.
 *
 * Everyone begins in `initial`. A patient is in the last listed of the stages reached, so a stage
 * reached after a later-listed one (a leak after a reoperation) changes nothing; stages reached
 * together count as the last listed of them. A stage reached at time 0 is where
 * that patient begins;
 * one reached at the time of death is not entered, because no time is spent in it.
 *
 * `row` says which patient each row came from, to carry groups and weights along.
 * Cost O(n stages).
 *
 * @example
 * ```ts
 * import { transitionRows } from "mitral";
 * transitionRows({ time: [5], death: [1], stages: { recurrence: [2], reoperation: [Infinity] } });
 * // operated on (0, 2], recurrence on (2, 5], dead from 5
 * ```
 * @throws {DataError} on a value out of range, a stage after the end of follow-up, or no follow-up
 * at all (time 0), which leaves no time in any state.
 */
export function transitionRows(
  data: StageTimes,
  options: { initial?: string; dead?: string } = {},
): { subject: Int32Array; row: Int32Array; from: string[]; to: string[] } & {
  entry: Float64Array;
  time: Float64Array;
  states: string[];
} {
  checkDataColumns("transitionRows", data, ["time", "death", "stages"]);
  const { initial = "operated", dead = "dead" } = options;
  const end = numberColumn("time", data.time, { above: 0 });
  const n = end.length;
  const death = binaryColumn("death", data.death, n);
  const names = Object.keys(data.stages);
  const stages = names.map((name) => {
    const column = data.stages[name]!;
    checkLength(`stages.${name}`, column, n);
    return numberColumn(`stages.${name}`, column, { length: n, min: 0, infinite: true });
  });
  const states = [initial, ...names, dead];
  if (new Set(states).size < states.length) {
    throw new DataError(
      "stages",
      "named apart from each other and the first and last state",
      names,
    );
  }
  const subject: number[] = [];
  const from: string[] = [];
  const to: string[] = [];
  const entry: number[] = [];
  const time: number[] = [];
  for (let i = 0; i < n; i++) {
    const path = stages
      .map((column, stage) => ({ at: column[i]!, stage }))
      .filter(({ at }) => at < Infinity)
      .sort((a, b) => a.at - b.at || a.stage - b.stage);
    let now = -1; // the initial state
    let since = 0;
    const leave = (at: number, next: string) => {
      subject.push(i);
      from.push(now < 0 ? initial : names[now]!);
      to.push(next);
      entry.push(since);
      time.push(at);
    };
    for (const { at, stage } of path) {
      if (at > end[i]!) {
        throw new DataError(`stages.${names[stage]}`, `at most its time ${end[i]}`, at, i);
      }
      if (stage < now || at === end[i]! && death[i] === 1) continue;
      if (at > since) leave(at, names[stage]!);
      else if (to.length > 0 && since > 0) to[to.length - 1] = names[stage]!;
      now = stage;
      since = at;
    }
    if (end[i]! > since) leave(end[i]!, death[i] === 1 ? dead : "");
  }
  return {
    subject: Int32Array.from(subject),
    row: Int32Array.from(subject),
    from,
    to,
    entry: Float64Array.from(entry),
    time: Float64Array.from(time),
    states,
  };
}
