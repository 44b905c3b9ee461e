import assert from "node:assert/strict";
import fc from "fast-check";
import { DataError, nelsonAalen, type NelsonAalenOptions } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";

// Reference: see the source of each case.
for (const id of ["nelson-aalen-aml", "nelson-aalen-delayed-heart"]) {
  Deno.test(`nelsonAalen() agrees with reference case ${id}`, () => {
    const { data, columns, expected, tolerance } = referenceCase(id);
    const all = referenceRows(data!);
    for (const group of ["0", "1"]) {
      const rows = all.filter((row) => row[columns.group!] === group);
      const follow = {
        time: numeric(rows, columns.time!),
        event: numeric(rows, columns.event!),
        ...(columns.entry && { entry: numeric(rows, columns.entry) }),
      };
      const want = expected[group];
      for (const variance of ["aalen", "binomial", "klein"] as const) {
        for (const interval of ["plain", "log"] as const) {
          const at = nelsonAalen(follow, { variance, interval }).at(want.time);
          const known = want[variance];
          assertAllClose(at.cumulativeHazard, want.cumulativeHazard, tolerance);
          assertAllClose(at.standardError, known.se, tolerance, `${variance} se`);
          assertAllClose(at.lower, known[`${interval}Lower`], tolerance, `${interval} lower`);
          assertAllClose(at.upper, known[`${interval}Upper`], tolerance, `${interval} upper`);
          assertAllClose(at.atRisk, want.atRisk, tolerance, "at risk");
        }
      }
    }
  });
}

Deno.test("nelsonAalen() with weights agrees with reference case nelson-aalen-weighted-lung", () => {
  const { data, columns, options, expected, tolerance } = referenceCase(
    "nelson-aalen-weighted-lung",
  );
  for (const group of ["0", "1"]) {
    const rows = referenceRows(data!).filter((row) => row[columns.group!] === group);
    const at = nelsonAalen({
      time: numeric(rows, columns.time!),
      event: numeric(rows, columns.event!),
      weight: numeric(rows, columns.weight!),
    }, { interval: "log" }).at(options.times);
    const want = expected[group];
    assertAllClose(at.cumulativeHazard, want.cumulativeHazard, tolerance);
    assertAllClose(at.standardError, want.robustSe, tolerance);
    assertAllClose(at.lower, want.robustLogLower, tolerance);
    assertAllClose(at.upper, want.robustLogUpper, tolerance);
  }
});

// Identity: the influence of a row is the derivative in its weight, delayed entry included.
Deno.test("nelsonAalen() robust errors are those of the numerical derivative", () => {
  const row = fc.record({
    time: fc.integer({ min: 2, max: 9 }),
    event: fc.integer({ min: 0, max: 1 }),
    entry: fc.integer({ min: 0, max: 1 }),
    weight: fc.integer({ min: 1, max: 4 }),
  });
  fc.assert(
    fc.property(fc.array(row, { minLength: 2, maxLength: 12 }), (rows) => {
      const of = (key: keyof typeof rows[0]) => rows.map((r) => r[key]);
      const data = { time: of("time"), event: of("event"), entry: of("entry") };
      const weight = of("weight");
      const hazard = (w: number[]) => nelsonAalen({ ...data, weight: w }).cumulativeHazard.at(-1)!;
      let squares = 0;
      weight.forEach((w, i) => {
        const step = 1e-5;
        const moved = (h: number) => hazard(weight.map((v, k) => k === i ? v + h : v));
        squares += (w * (moved(step) - moved(-step)) / (2 * step)) ** 2;
      });
      const error = nelsonAalen({ ...data, weight }).standardError.at(-1)!;
      assertClose(error ** 2, squares, { relative: 1e-6, absolute: 1e-8 });
    }),
    { numRuns: 60 },
  );
});

Deno.test("nelsonAalen(): edges and refusals", () => {
  const none = nelsonAalen({ time: [1, 2], event: [0, 0] });
  assert.deepEqual([...none.upper], [0, 0]);
  const ended = nelsonAalen({ time: [0, 2], event: [1, 1] }).at([0, 1, 2, 3]);
  assertAllClose(ended.cumulativeHazard, [0.5, 0.5, 1.5, NaN]);
  const options = { variance: "other" } as unknown as NelsonAalenOptions;
  assert.throws(() => nelsonAalen({ time: [1], event: [1] }, options), DataError);
});
