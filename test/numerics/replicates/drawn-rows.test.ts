import { deepEqual, equal, ok } from "node:assert/strict";
import fc from "fast-check";
import { drawnRows, ENOUGH } from "../../../lib/numerics/mod.ts";

Deno.test("as many rows as asked for, ascending, each once; all where there are no more", () => {
  fc.assert(fc.property(
    fc.nat(300),
    fc.integer({ min: 1, max: 200 }),
    fc.nat(1e6),
    (rows, most, seed) => {
      const drawn = drawnRows(rows, { seed, most });
      equal(drawn.length, Math.min(rows, most));
      drawn.forEach((row, k) => ok(row > (drawn[k - 1] ?? -1) && row < rows));
      deepEqual(drawnRows(rows, { seed, most }), drawn);
    },
  ));
});

Deno.test("every row and every pair is drawn as often as it should be", () => {
  // by hand: 4 of 10 rows, each with chance 4/10, each pair with 4/10 x 3/9
  const draws = 20_000;
  const alone = new Float64Array(10);
  let together = 0;
  for (let seed = 0; seed < draws; seed++) {
    const drawn = drawnRows(10, { seed, most: 4 });
    drawn.forEach((row) => alone[row]!++);
    if (drawn.includes(0) && drawn.includes(9)) together++;
  }
  const within = (count: number, chance: number) =>
    ok(Math.abs(count / draws - chance) < 5 * Math.sqrt(chance * (1 - chance) / draws));
  alone.forEach((count) => within(count, 0.4));
  within(together, 0.4 * 3 / 9);
});

Deno.test("enough is more than the files of most centres", () => {
  equal(drawnRows(ENOUGH, { seed: 1 }).length, ENOUGH);
  equal(drawnRows(ENOUGH + 1, { seed: 1 }).length, ENOUGH);
});
