import fc from "fast-check";

/** Rows for properties: small, with ties, times of 0, late entry, weights and several causes. */
export interface Rows {
  time: number[];
  event: number[];
  entry?: number[];
  weight?: number[];
}

/**
 * Arbitrary follow-up of `min` to `max` rows with causes 0..causes on a coarse grid, so with ties.
 */
export function followUps(
  { min = 1, max = 40, causes = 2, entry = true, weight = true, whole = false } = {},
): fc.Arbitrary<Rows> {
  const row = fc.record({
    time: fc.integer({ min: 0, max: 12 }),
    event: fc.integer({ min: 0, max: causes }),
    early: fc.integer({ min: 1, max: 6 }),
    weight: whole ? fc.integer({ min: 1, max: 3 }) : fc.double({ min: 0.1, max: 4, noNaN: true }),
  });
  return fc.tuple(
    fc.array(row, { minLength: min, maxLength: max, size: "max" }),
    entry ? fc.boolean() : fc.constant(false),
    weight ? fc.boolean() : fc.constant(false),
  ).map(([rows, withEntry, withWeight]) => ({
    time: rows.map((r) => r.time / 4),
    event: rows.map((r) => r.event),
    ...(withEntry && { entry: rows.map((r) => (r.time - r.early) / 4) }),
    ...(withWeight && { weight: rows.map((r) => r.weight) }),
  }));
}

/** The rows in another order. */
export function reorder<T>(values: readonly T[], order: readonly number[]): T[] {
  return order.map((i) => values[i]!);
}

/** Each row as often as its whole weight says. */
export function replicate(rows: Rows): Rows {
  const index = rows.time.flatMap((_, i) => Array(rows.weight?.[i] ?? 1).fill(i) as number[]);
  return {
    time: reorder(rows.time, index),
    event: reorder(rows.event, index),
    ...(rows.entry && { entry: reorder(rows.entry, index) }),
  };
}
