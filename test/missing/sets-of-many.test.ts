// Of many patients fewer completed sets are made than the plan asks for, and the report says so.
import assert from "node:assert/strict";
import * as mitral from "mitral";
import { chainWorkOf, firstSets } from "../../lib/missing/study/mod.ts";
import { momentsOf } from "../../lib/numerics/mod.ts";
import { survivalIn } from "./demo-sets.ts";
import { analysis, cohort, study } from "../demo-analysis.ts";

Deno.test("setsForMany() makes all up to 20,000 patients, then fewer, never fewer than three", () => {
  const made = (patients: number) => mitral.setsForMany(20, patients);
  assert.deepEqual([1, 20_000, 20_001, 40_000, 200_000, 1e6].map(made), [20, 20, 20, 10, 3, 3]);
  assert.equal(mitral.setsForMany(2, 1e6), 2);
  // what the number of sets leaves to chance goes as 1 / sqrt(sets x patients): never more than
  // at 20,000
  for (let n = 20_000; n < 1e6; n *= 1.1) assert.ok(made(n) * n >= 20 * 20_000);
  assert.throws(() => mitral.setsForMany(0, 10), mitral.DataError);
});

Deno.test("three sets give what twenty give, but for their chance", async () => {
  const completed = await mitral.completedSets(analysis, study);
  assert.equal(completed.sets, 20);
  const each = Array.from({ length: 20 }, (_, k) => survivalIn(completed.analysis(k)));
  const all = mitral.acrossSets(completed, survivalIn);
  const few = mitral.acrossSets(firstSets(completed, 3), survivalIn);
  all.forEach((contrast, t) => {
    const between = momentsOf(Float64Array.from(each, (set) => set[t]!.difference.estimate));
    // the first three are of the twenty: variance B / 3 - B / 20
    const chance = Math.sqrt(between.variance * (1 / 3 - 1 / 20));
    const apart = Math.abs(few[t]!.difference.estimate - contrast.difference.estimate);
    assert.ok(apart < 3 * chance, `${apart} and ${chance}`);
    assert.ok(chance < 0.1 * contrast.difference.standardError);
    const ratio = few[t]!.difference.standardError / contrast.difference.standardError;
    assert.ok(Math.abs(ratio - 1) < 0.05, String(ratio));
  });
});

/** A cohort so many times over, each copy's patients under names of their own. */
function timesOver(cohort: mitral.Cohort, copies: number): mitral.Cohort {
  const over = <T>(values: ArrayLike<T>) =>
    Array.from({ length: copies }, () => Array.from(values)).flat();
  const column = (values: Float64Array | string[]) =>
    values instanceof Float64Array ? Float64Array.from(over(values)) : over(values);
  const columns = <C>(given: Record<string, C>) =>
    Object.fromEntries(
      Object.keys(given).map((name) => [name, column(given[name] as Float64Array) as C]),
    );
  const { visits, ids, invalid } = cohort;
  const { count, offsets, day, mr } = visits;
  const starts = over(offsets.slice(0, -1)).map((at, i) => at + count * Math.floor(i / cohort.n));
  return {
    ...cohort,
    n: copies * cohort.n,
    ids: over(ids).map((id, i) => `${id}-${i}`),
    columns: columns(cohort.columns),
    invalid: Uint8Array.from(over(invalid)),
    visits: {
      count: copies * count,
      offsets: Int32Array.from([...starts, copies * count]),
      day: column(day) as Float64Array,
      mr: column(mr) as Float64Array,
      columns: columns(visits.columns),
    },
  };
}

Deno.test("a note of many patients says how many sets were made of those asked for", () => {
  const many = mitral.selectEligible(timesOver(cohort, 25), study);
  const { sets, notes } = chainWorkOf(many, study);
  assert.equal(sets, mitral.setsForMany(20, many.n));
  assert.ok(sets < 20 && notes.some((note) => note.startsWith(`${sets} of 20 sets asked for`)));
  // what is asked for here is made
  assert.equal(chainWorkOf(many, study, { sets: 6 }).sets, 6);
  assert.ok(!chainWorkOf(analysis, study).notes.some((note) => note.includes("asked for")));
});
