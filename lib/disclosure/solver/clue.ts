/** The least and the most that a count can be. */
export interface Range {
  low: number;
  high: number;
}

/**
 * One thing that a reader knows of counts of patients: a sum of them, each times a number, lies
 * between two numbers. Counts are named; the same name is the same count, wherever it is printed.
 */
export interface Clue extends Range {
  parts: readonly { count: string; times: number }[];
  /** Where it stands. */
  from: string;
}

/** A count is printed, or bounded: "12", "< 11", "> 363". */
export function countIs(count: string, { low, high }: Range, from: string): Clue {
  return { parts: [{ count, times: 1 }], low, high, from };
}

/** A whole is the sum of its parts, and of nobody else. */
export function sumOf(whole: string, parts: readonly string[], from: string): Clue {
  const minus = parts.map((count) => ({ count, times: -1 }));
  return { parts: [{ count: whole, times: 1 }, ...minus], low: 0, high: 0, from };
}

/** What is left of a whole when parts that do not overlap are taken off. */
export function restOf(
  rest: string,
  { whole, parts }: { whole: string; parts: readonly string[] },
  from: string,
): Clue {
  return sumOf(whole, [rest, ...parts], from);
}

/**
 * A part is between two shares of its whole: two clues, since the whole may be unknown too.
 *
 * @param share Both ends as proportions, the rounding included.
 */
export function shareOf(
  part: string,
  { whole, share }: { whole: string; share: Range },
  from: string,
): Clue[] {
  return [
    {
      parts: [{ count: part, times: 1 }, { count: whole, times: -share.high }],
      low: -Infinity,
      high: 0,
      from,
    },
    {
      parts: [{ count: part, times: 1 }, { count: whole, times: -share.low }],
      low: 0,
      high: Infinity,
      from,
    },
  ];
}
