import assert from "node:assert/strict";
import fc from "fast-check";
import { DataError, grayTest } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { numeric, referenceCase, referenceRows } from "../../reference/load.ts";
import { followUps, reorder } from "../generate.ts";

// Reference library and version named in the cases.
for (const id of ["gray-mgus2", "cif-worked-example"]) {
  Deno.test(`grayTest() matches the reference (${id})`, () => {
    const { data, expected, tolerance } = referenceCase(id);
    const rows = referenceRows(data!);
    const mgus = id === "gray-mgus2";
    const columns = {
      time: numeric(rows, mgus ? "etime" : "time"),
      event: numeric(rows, "cause"),
      group: rows.map((row) => row[mgus ? "male" : "group"]!),
    };
    const gray = expected.gray ?? expected;
    for (const cause of [1, 2]) {
      const test = grayTest(columns, { cause });
      const right = gray[`cause${cause}`];
      assertClose(test.statistic, right.stat, tolerance, "statistic");
      assert.equal(test.degreesOfFreedom, right.df);
      assertClose(test.pValue, right.p, tolerance, "p");
    }
  });
}

/** 90 made-up rows with many ties, three groups of unequal follow-up, two strata. */
function threeGroups() {
  const index = Array.from({ length: 90 }, (_, i) => i);
  const group = index.map((i) => "abc"[(i * 7 + Math.floor(i / 5)) % 3]!);
  return {
    time: index.map((i) => 1 + (i * 37) % 23 + (group[i] === "b" ? i % 4 : 0)),
    event: index.map((i) => [1, 2, 0, 1, 2, 1, 0][(i * i + 3 * i + Math.floor(i / 4)) % 7]!),
    group,
    stratum: index.map((i) => i % 2),
  };
}

// Reference: R 4.2.2, cmprsk 2.2-11, cuminc(time, cause, group, strata, rho)$Tests on the rows
// above; 13 digits printed.
const REFERENCE: [rho: number, plain: number[], stratified: number[]][] = [
  [0, [0.2063857059846, 3.1812662614782], [0.2226060401769, 3.4572887320589]],
  [1, [0.5949555707695, 2.2705022949476], [0.5170355485402, 2.0629339861476]],
  [-0.5, [0.08116114104272, 3.62322800648907], [0.1149324548929, 4.2854979118731]],
];

Deno.test("grayTest() matches the reference with three groups, strata and rho", () => {
  const { stratum, ...plain } = threeGroups();
  for (const [rho, without, within] of REFERENCE) {
    for (const cause of [1, 2]) {
      const digits = { relative: 1e-11, absolute: 0 };
      const test = grayTest(plain, { cause, rho });
      assert.equal(test.degreesOfFreedom, 2);
      assertClose(test.statistic, without[cause - 1]!, digits, `rho ${rho}`);
      const stratified = grayTest({ ...plain, stratum }, { cause, rho });
      assertClose(stratified.statistic, within[cause - 1]!, digits, `rho ${rho}, strata`);
    }
  }
});

Deno.test("grayTest() expects as many events as it observes, and counts everyone", () => {
  const rows = followUps({ weight: false, max: 60 });
  fc.assert(fc.property(rows, fc.integer({ min: 2, max: 4 }), (data, k) => {
    if (data.time.length < k) return;
    const group = data.time.map((_, i) => i % k);
    const { groups, statistic, pValue } = grayTest({ ...data, group }, { cause: 1 });
    const sum = (values: number[]) => values.reduce((a, b) => a + b, 0);
    const observed = sum(groups.map((g) => g.observed));
    assertClose(sum(groups.map((g) => g.expected)), observed);
    assert.equal(sum(groups.map((g) => g.n)), data.time.length);
    assert.ok(statistic >= -1e-9 && pValue >= 0 && pValue <= 1);
  }));
});

Deno.test("grayTest() depends neither on row order, nor unit, nor how groups are named", () => {
  const { stratum, ...data } = threeGroups();
  const whole = grayTest({ ...data, stratum }, { cause: 1 });
  fc.assert(
    fc.property(
      fc.shuffledSubarray(data.time.map((_, i) => i), { minLength: 90, maxLength: 90 }),
      (order) => {
        const other = grayTest({
          time: reorder(data.time, order).map((t) => t / 12),
          event: reorder(data.event, order),
          group: reorder(data.group, order).map((g) => ({ a: "z", b: "m", c: "k" })[g]!),
          stratum: reorder(stratum, order),
        }, { cause: 1 });
        assertClose(other.statistic, whole.statistic);
        const expected = (groups: typeof whole.groups) => groups.map((g) => g.expected);
        assertAllClose(expected(other.groups.toReversed()), expected(whole.groups));
      },
    ),
    { numRuns: 30 },
  );
});

// Identity: groups with the same histories differ by nothing.
Deno.test("grayTest() is 0 between copies of one group", () => {
  const { time, event } = threeGroups();
  const copies = (values: number[]) => [...values, ...values, ...values];
  const group = copies(time.map(() => 0)).map((_, i) => Math.floor(i / time.length));
  const test = grayTest({ time: copies(time), event: copies(event), group }, { cause: 1 });
  assertClose(test.statistic, 0);
  assertClose(test.pValue, 1);
});

Deno.test("grayTest() drops a degree of freedom for a group never at risk at an event", () => {
  const data = { time: [1, 5, 6, 7, 8, 9], event: [0, 1, 1, 2, 1, 0] };
  const test = grayTest({ ...data, group: ["a", "b", "c", "b", "c", "b"] }, { cause: 1 });
  assert.equal(test.degreesOfFreedom, 1);
  const two = grayTest({
    time: data.time.slice(1),
    event: data.event.slice(1),
    group: ["b", "c", "b", "c", "b"],
  }, { cause: 1 });
  assertClose(test.statistic, two.statistic);
});

Deno.test("grayTest() of a cause nobody had says so with no degrees of freedom", () => {
  const test = grayTest({ time: [1, 2], event: [0, 0], group: [1, 2] }, { cause: 1 });
  assert.deepEqual([test.statistic, test.degreesOfFreedom, test.pValue], [0, 0, 1]);
});

Deno.test("grayTest() refuses weights, one group and causes below 1", () => {
  const data = { time: [1, 2, 3], event: [1, 2, 0], group: ["a", "b", "a"] };
  assert.throws(() => grayTest({ ...data, weight: [1, 1, 2] }, { cause: 1 }), DataError);
  assert.throws(() => grayTest({ ...data, group: [1, 1, 1] }, { cause: 1 }), DataError);
  assert.throws(() => grayTest(data, { cause: 0 }), DataError);
  assert.throws(() => grayTest(data, { cause: 1, rho: NaN }), DataError);
});
