import { DataError } from "./errors.ts";

/** The columns of {@link FollowUp}. */
export const FOLLOW_UP = ["time", "event", "entry", "weight"] as const;

// Every column that some estimator of this library takes, by the name they share. Not listed: names
// that only one estimator has.
const KNOWN = [
  "time",
  "event",
  "entry",
  "weight",
  "cluster",
  "stratum",
  "group",
  "arm",
  "covariates",
  "outcome",
  "treated",
  "score",
  "predicted",
  "expected",
  "exposure",
  "subject",
  "pair",
  "visits",
  "target",
  "alike",
];

// Other spellings that are more than a letter off.
const MEANT: Record<string, string> = { strata: "stratum" };

/**
 * Refuses data that an estimator would not look at: a column other estimators take, such as
 * `weight`, where this one has no use for it, and a name that is one letter off, such as `weights`.
 * Both would otherwise change an answer by being left out. Columns of other names are the
 * caller's own, and left alone; so is a column that is `undefined`.
 *
 * @param estimator Its name, for the message.
 * @param data What it was given.
 * @param columns The names it takes.
 * @throws {DataError} naming the column, and what this estimator takes.
 */
export function checkDataColumns(
  estimator: string,
  data: object,
  columns: readonly string[],
): void {
  if (typeof data !== "object" || data === null) {
    throw new DataError("data", `columns: ${columns.join(", ")}`, data);
  }
  for (const [name, value] of Object.entries(data)) {
    if (value === undefined || columns.includes(name)) continue;
    if (KNOWN.includes(name)) {
      const taken = columns.join(", ");
      throw new DataError(name, `left out: ${estimator}() does not use it, only ${taken}`, value);
    }
    const meant = MEANT[name] ?? [...columns, ...KNOWN].find((known) => isOneOff(name, known));
    if (meant) throw new DataError(name, `spelt "${meant}", or left out`, value);
  }
}

/** Whether two names differ by one letter put in, left out or changed, or two swapped. */
export function isOneOff(a: string, b: string): boolean {
  const [short, long] = [a.toLowerCase(), b.toLowerCase()].sort((p, q) => p.length - q.length) as [
    string,
    string,
  ];
  if (long.length - short.length > 1) return false;
  let same = 0;
  while (same < short.length && short[same] === long[same]) same++;
  const rest = (text: string, from: number) => text.slice(same + from);
  if (short.length < long.length) return rest(short, 0) === rest(long, 1);
  return rest(short, 1) === rest(long, 1) ||
    (short[same] === long[same + 1] && short[same + 1] === long[same] &&
      rest(short, 2) === rest(long, 2));
}
