import fc from "fast-check";

export interface Row {
  time: number;
  event: number;
  entry: number;
  weight: number;
  group: string;
  stratum: number;
}

/** Times in quarters from 0, so there are many ties; entry -1 is before time 0. */
const row: fc.Arbitrary<Row> = fc.record({
  time: fc.integer({ min: 0, max: 24 }),
  event: fc.integer({ min: 0, max: 1 }),
  gap: fc.integer({ min: 1, max: 25 }),
  weight: fc.integer({ min: 1, max: 4 }),
  group: fc.constantFrom("a", "b", "c"),
  stratum: fc.integer({ min: 0, max: 1 }),
}).map(({ gap, time, ...rest }) => ({
  ...rest,
  time: time / 4,
  entry: Math.max(-1, time - gap) / 4,
}));
export const cohort = fc.array(row, { minLength: 1, maxLength: 40 });
/** At least two groups. */
export const groups = cohort.map((rows) => [
  { time: 5, event: 1, entry: 0, weight: 1, group: "a", stratum: 0 },
  { time: 6, event: 0, entry: 1, weight: 2, group: "b", stratum: 0 },
  ...rows,
]);

export const pick = <K extends keyof Row>(rows: Row[], ...keys: K[]) =>
  Object.fromEntries(keys.map((key) => [key, rows.map((r) => r[key])])) as Pick<
    { [P in keyof Row]: Row[P][] },
    K
  >;

export const CLOSE = { relative: 1e-9, absolute: 1e-9 };
