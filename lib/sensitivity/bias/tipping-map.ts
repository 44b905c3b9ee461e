import {
  checkNumber,
  DataError,
  type FollowUp,
  followUpColumns,
  groupColumn,
  type Labels,
  type Numbers,
} from "../../numerics/mod.ts";

/** What is known of one group at a time. */
export interface KnownByTime {
  /** Label of the group. */
  group: string | number;
  /** Total weight, and its parts. */
  total: number;
  /** Weight of those known to have had it. */
  withEvent: number;
  /** Weight of those known not to have had it. */
  without: number;
  /** Weight of those of whom it is not known. */
  unknown: number;
}

/** The difference for each supposed share of events among those not known, in each group. */
export interface TippingMap {
  /** In label order; differences are the second less the first. */
  groups: KnownByTime[];
  /** Shares supposed in the first group (rows) and in the second (columns). */
  first: Float64Array;
  /** Shares supposed in the second group, 0 to 1. */
  second: Float64Array;
  /** first.length rows of second.length differences. */
  difference: Float64Array[];
  /** The difference where nobody not known had the event, and where all in one group had. */
  ends: { lowest: number; highest: number };
  /** Whether the sign of the difference depends on what is supposed. */
  turns: boolean;
  /** Share supposed alike in both groups at which the difference is 0; null where there is none. */
  turnsAlike: number | null;
}

/**
 * What a difference in the proportion with an event by a time would be, for any share of events
 * among those of whom it is not known: a map that shows what would have to be true for the answer
 * to turn.
 *
 * Nothing is assumed of those not known; followed patients count as they are. Chance is left out: a
 * map of estimates, not of limits.
 *
 * @param data.state 1 with the event by then, 0 known to be without, NaN not known; see
 * {@link stateByTime}.
 * @param options.shares Shares supposed, default 0 to 1 in twentieths.
 * @example
 * ```ts
 * import { stateByTime, tippingMap } from "mitral";
 *
 * const followUp = { time: [1, 6, 2, 6], event: [1, 0, 0, 0] };
 * const state = stateByTime(followUp, { time: 5 }); // 1, 0, NaN, 0
 * tippingMap({ state, group: ["a", "a", "b", "b"] }).turns; // false
 * ```
 * @throws {DataError} unless there are two groups.
 * @see Yan, Lee & Li (2009) J Biopharm Stat 19:1085-1098 (tipping points).
 */
export function tippingMap(
  data: { state: Numbers; group: Labels; weight?: Numbers },
  options: { shares?: Numbers } = {},
): TippingMap {
  const n = data.state.length;
  const { codes, labels } = groupColumn("group", data.group, n);
  if (labels.length !== 2) throw new DataError("group", "two groups", labels.length);
  const groups = labels.map((group): KnownByTime => (
    { group, total: 0, withEvent: 0, without: 0, unknown: 0 }
  ));
  for (let i = 0; i < n; i++) {
    const state = data.state[i]!;
    if (state !== 0 && state !== 1 && !Number.isNaN(state)) {
      throw new DataError("state", "0, 1 or NaN", state, i);
    }
    const w = data.weight ? data.weight[i]! : 1;
    if (!(w > 0 && w < Infinity)) throw new DataError("weight", "a finite number > 0", w, i);
    const own = groups[codes[i]!]!;
    own.total += w;
    if (Number.isNaN(state)) own.unknown += w;
    else if (state === 1) own.withEvent += w;
    else own.without += w;
  }
  const shares = Float64Array.from(
    options.shares ?? Array.from({ length: 21 }, (_, k) => k / 20),
  );
  shares.forEach((share, k) =>
    checkNumber(`shares[${k}]`, share, (s) => s >= 0 && s <= 1, "a share from 0 to 1")
  );
  const [one, other] = groups as [KnownByTime, KnownByTime];
  const risk = (own: KnownByTime, share: number) =>
    (own.withEvent + share * own.unknown) / own.total;
  const at = (a: number, b: number) => risk(other, b) - risk(one, a);
  const ends = { lowest: at(1, 0), highest: at(0, 1) };
  const [from, to] = [at(0, 0), at(1, 1)];
  const alike = from * to < 0 ? from / (from - to) : null;
  return {
    groups,
    first: shares.slice(),
    second: shares.slice(),
    difference: Array.from(shares, (a) => shares.map((b) => at(a, b))),
    ends,
    turns: ends.lowest * ends.highest < 0,
    turnsAlike: alike,
  };
}

/**
 * Whether each row is known to have had the event by a time: 1 if it came by then, 0 if the row was
 * followed to then, or another event came first; NaN if its follow-up ended before.
 *
 * @throws {DataError} on values out of range.
 */
export function stateByTime(
  data: Pick<FollowUp, "time" | "event">,
  options: { time: number; cause?: number },
): Float64Array {
  const at = checkNumber("time", options.time, (t) => t > 0 && t < Infinity, "a number > 0");
  const { cause = 1 } = options;
  const { time, event } = followUpColumns(data, { causes: true });
  return time.map((own, i) => {
    if (own > at) return 0;
    if (event[i] === cause) return 1;
    return event[i]! > 0 || own === at ? 0 : NaN;
  });
}

/**
 * Whether each row is known to have had an event that only visits can find: 1 if a visit found it
 * by then; 0 if one within `window` before that time, or before death, was clear; NaN
 * if nobody looked.
 *
 * @param data.lower Last clear visit; 0 for none. @param data.upper First that was not; Infinity
 * for none.
 * @param data.death Death without it; NaN for none.
 * @param options.window How long a clear visit is taken to hold, default 1.
 * @throws {DataError} on lengths that differ or a time out of range.
 */
export function seenByTime(
  data: { lower: Numbers; upper: Numbers; death: Numbers },
  options: { time: number; window?: number },
): Float64Array {
  const at = checkNumber("time", options.time, (t) => t > 0 && t < Infinity, "a number > 0");
  const window = checkNumber("window", options.window ?? 1, (w) => w >= 0, "a number >= 0");
  const { lower, upper, death } = data;
  for (const [name, column] of Object.entries({ upper, death })) {
    if (column.length !== lower.length) {
      throw new DataError(name, `of length ${lower.length}`, column);
    }
  }
  return Float64Array.from(lower, (clear, i) => {
    if (upper[i]! <= at) return 1;
    // looked for until then, or until death
    const until = Math.min(at, Number.isNaN(death[i]!) ? Infinity : death[i]!);
    return clear >= until - window ? 0 : NaN;
  });
}
