import {
  checkConfidence,
  checkDataColumns,
  checkNumber,
  type Interval,
  type Labels,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import {
  checkInterval,
  type IncidenceInterval,
  incidenceLimits,
  limitQuantile,
  rowAt,
} from "../incidence/mod.ts";
import { stateInfluence } from "./state-influence.ts";
import { type StateTable, stateTable } from "./state-table.ts";
import { stateTimeLimits } from "./state-time-limits.ts";
import type { TransitionRows } from "./transition-rows.ts";

/** Options of {@link stateOccupation}. */
export interface OccupationOptions {
  /** Every state, in the order to report (default: as they appear). */
  states?: Labels;
  /** Level of the limits, default 0.95. */
  confidence?: number;
  /** Limits of the probabilities (default "log-log"). */
  interval?: IncidenceInterval;
}

/** One state's values at the times asked for. */
export interface OccupationAt {
  /** Label of the state. */
  state: string | number;
  /** Times, in the unit given. */
  time: Float64Array;
  /** Probability of being in the state at each time, 0 to 1. */
  probability: Float64Array;
  /** Standard errors of the estimates. */
  standardError: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
}

/** Probability of being in each state, one row a distinct time of a transition. */
export interface StateOccupation {
  /** Subjects. */
  n: number;
  /** One a state. */
  states: {
    state: string | number;
    probability: Float64Array;
    /** Weight in the state just before each time. */
    atRisk: Float64Array;
  }[];
  /** Times, in the unit given. */
  time: Float64Array;
  /** Subjects' moves, counted: from, to, events. */
  transitions: { from: string | number; to: string | number; events: number }[];
  /** Step values with errors, a block a state; NaN past the last observed time. O(n) a time. */
  at(times: Numbers): OccupationAt[];
  /** Expected time in each state from the start to the horizon; they add up to its length. */
  expectedTime(horizon: number): (Interval & { state: string | number })[];
}

/**
 * Probability of being in each state of a course through several, and the time spent there
 * (Aalen-Johansen).
 *
 * p(t) = p(0) times the product over t_j <= t of (I + dA(t_j)), dA_hk = moves from h to k over
 * those in h just before; p(0) the shares at the earliest entry. With one starting state and only
 * absorbing others it is the cumulative incidence. The estimate of p(t) holds whether or not the
 * course is Markov, as long as censoring is independent of it (Datta and Satten 2001).
 *
 * Standard errors: infinitesimal jackknife over subjects, whose rows are added first; limits as in
 * {@link cumulativeIncidence}, [1, 1] where p is 1. Weights are taken as known. Expected times have
 * limits that allow for few having been in a state, see `stateTimeLimits`.
 *
 * Rows: in `from` on (entry, time], then in `to`; a subject's rows must follow on. Moves come
 * before censorings and before entries at the same time.
 * Cost: O(n log n + m s^2); O((n + m) s^2) a time at which errors are asked for, s states.
 *
 * @example
 * ```ts
 * import { stateOccupation, transitionRows } from "mitral";
 * const time = [5, 8, 6];
 * const death = [1, 0, 0];
 * const recurrence = [2, Infinity, 3];
 * const course = stateOccupation(transitionRows({ time, death, stages: { recurrence } }));
 * course.expectedTime(5); // years of the first five in each state
 * ```
 * @throws {DataError} on a value out of range, an unknown state, or rows that do not join up.
 * @see Aalen and Johansen (1978) Scand J Stat 5:141-150. Datta and Satten (2001) Stat Probab Lett
 * 55:403-411. Expected time: Beyersmann, Allignol and Schumacher (2012) Competing Risks and
 * Multistate Models with R, chapter 9 (method only).
 */
export function stateOccupation(
  data: TransitionRows,
  options: OccupationOptions = {},
): StateOccupation {
  checkDataColumns("stateOccupation", data, ["subject", "from", "to", "entry", "time", "weight"]);
  const confidence = checkConfidence(options.confidence);
  const z = limitQuantile(confidence);
  const interval = checkInterval(options.interval);
  const table = stateTable(data, options.states);
  const { states, time, atRisk, follow } = table;
  const s = states.length;
  const probability = occupation(table);
  const column = (values: Float64Array, k: number) =>
    Float64Array.from(time, (_, j) => values[j * s + k]!);
  const value = (k: number, j: number) => j < 0 ? table.initial[k]! : probability[j * s + k]!;

  function at(times: Numbers): OccupationAt[] {
    const asked = Float64Array.from(numberColumn("times", times, { min: table.start }));
    const blocks = states.map((state): OccupationAt => ({
      state,
      time: asked,
      probability: new Float64Array(asked.length),
      standardError: new Float64Array(asked.length),
      lower: new Float64Array(asked.length),
      upper: new Float64Array(asked.length),
    }));
    asked.forEach((t, place) => {
      const past = t > table.end && !settled(table, probability);
      const errors = past
        ? undefined
        : errorsOf(stateInfluence(table, probability, t, "probability"), s);
      const j = rowAt(time, t);
      blocks.forEach((block, k) => {
        const p = past ? NaN : value(k, j);
        const error = errors ? errors[k]! : NaN;
        const [lower, upper] = p >= 1 ? [1, 1] : incidenceLimits(p, error, z, interval);
        block.probability[place] = p;
        block.standardError[place] = error;
        block.lower[place] = lower;
        block.upper[place] = upper;
      });
    });
    return blocks;
  }

  function expectedTime(horizon: number): (Interval & { state: string | number })[] {
    checkNumber(
      "horizon",
      horizon,
      (h) => h > table.start && h <= table.end || h > table.end && settled(table, probability),
      `above ${table.start} and at most ${table.end}, the last observed time`,
    );
    const errors = errorsOf(stateInfluence(table, probability, horizon, "time"), s);
    const limitsAt = stateTimeLimits(follow, horizon - table.start);
    return states.map((state, k) => {
      const estimate = expectedIn(table, probability, k, horizon);
      const standardError = errors[k]!;
      // beta quantiles, which cost more than the estimate: worked out when they are asked for
      let known: [lower: number, upper: number] | undefined;
      const limits = () => known ??= limitsAt({ estimate, standardError }).limits(confidence);
      return {
        ...{ state, estimate, standardError },
        get lower() {
          return limits()[0];
        },
        get upper() {
          return limits()[1];
        },
      };
    });
  }

  return {
    n: table.subjects,
    time,
    states: states.map((state, k) => ({
      state,
      probability: column(probability, k),
      atRisk: column(atRisk, k),
    })),
    transitions: countMoves(table, follow.n),
    at,
    expectedTime,
  };
}

/** p(t_j) for every time (times x states). */
export function occupation({ states, time, step, initial }: StateTable): Float64Array {
  const s = states.length;
  const probability = new Float64Array(time.length * s);
  let before: ArrayLike<number> = initial;
  for (let j = 0; j < time.length; j++) {
    const now = probability.subarray(j * s, (j + 1) * s);
    for (let h = 0; h < s; h++) {
      for (let k = 0; k < s; k++) now[k]! += before[h]! * step[(j * s + h) * s + k]!;
    }
    before = now;
  }
  return probability;
}

/** The area under one state's probability from the start to the horizon. */
export function expectedIn(
  { states, time, initial, start }: StateTable,
  probability: Float64Array,
  k: number,
  horizon: number,
): number {
  let area = 0;
  let since = start;
  let p = initial[k]!;
  for (let j = 0; j < time.length && time[j]! < horizon; j++) {
    area += p * (time[j]! - since);
    since = time[j]!;
    p = probability[j * states.length + k]!;
  }
  return area + p * (horizon - since);
}

/** Whether nobody is left in a state in which anyone was under observation. */
export function settled({ states, time, from }: StateTable, probability: Float64Array): boolean {
  const s = states.length;
  const watched = new Set(from);
  const row = (time.length - 1) * s;
  return time.length > 0 && states.every((_, k) => !watched.has(k) || probability[row + k] === 0);
}

/** Root of the summed squares of each column (subjects x states). */
function errorsOf(influence: Float64Array, s: number): Float64Array {
  const errors = new Float64Array(s);
  for (let i = 0; i < influence.length; i++) errors[i % s]! += influence[i]! * influence[i]!;
  return errors.map(Math.sqrt);
}

function countMoves({ states, from, to }: StateTable, n: number): StateOccupation["transitions"] {
  const s = states.length;
  const counts = new Int32Array(s * s);
  for (let i = 0; i < n; i++) if (to[i]! >= 0) counts[from[i]! * s + to[i]!]!++;
  return Array.from(counts, (events, place) => ({
    from: states[Math.floor(place / s)]!,
    to: states[place % s]!,
    events,
  })).filter(({ events }) => events > 0);
}
