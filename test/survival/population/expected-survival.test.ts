import assert from "node:assert/strict";
import fc from "fast-check";
import {
  DataError,
  distributions,
  expectedSurvival,
  observedToExpected,
  readLifeTable,
} from "mitral";
import { inventedLifeTable } from "../../../lib/simulate/rows/life-table.ts";
import { assertAllClose, assertClose } from "../../close.ts";

const SMALL = "sex,age,q\nF,70,0.1\nF,71,0.2\nM,70,0.3\nM,71,0.4\n";
const DATED = "sex,age,year,q\nF,70,2000,0.1\nF,71,2000,0.2\nF,70,2001,0.3\nF,71,2001,0.4\n";

// By hand.
Deno.test("expectedSurvival() multiplies yearly survival along a life", () => {
  const table = readLifeTable(SMALL);
  const { survival } = expectedSurvival(table, { age: 70, sex: "F" }, [2, 0, 1, 0.5, 3]);
  assertAllClose(survival, [0.72, 1, 0.9, Math.sqrt(0.9), 0.72 * 0.8]);
  const half = expectedSurvival(table, { age: 70.5, sex: "M" }, [1]).survival;
  assertClose(half[0]!, Math.sqrt(0.7 * 0.6));
});

// By hand: from age 70.25 at 2000.5, the new year comes after 0.5 and the birthday after 0.75.
Deno.test("expectedSurvival() moves through ages and calendar years together", () => {
  const person = { age: 70.25, sex: "F", year: 2000.5 };
  const { survival } = expectedSurvival(readLifeTable(DATED), person, [0.5, 0.75, 1]);
  const first = 0.9 ** 0.5;
  const second = first * 0.7 ** 0.25;
  assertAllClose(survival, [first, second, second * 0.6 ** 0.25]);
  const early = expectedSurvival(readLifeTable(DATED), { ...person, year: 1950 }, [0.5]);
  assertClose(early.survival[0]!, first, undefined, "years before the table take its first");
});

Deno.test("expectedSurvival() of a cohort is the average over its people (identity)", () => {
  const table = readLifeTable(inventedLifeTable());
  const someone = fc.record({
    age: fc.double({ min: 20, max: 95, noNaN: true }),
    sex: fc.constantFrom("F", "M"),
    year: fc.double({ min: 1985, max: 2030, noNaN: true }),
  });
  fc.assert(fc.property(fc.array(someone, { minLength: 1, maxLength: 8 }), (people) => {
    const times = [0, 0.3, 1, 5, 20];
    const cohort = expectedSurvival(table, {
      age: people.map((person) => person.age),
      sex: people.map((person) => person.sex),
      year: people.map((person) => person.year),
    }, times);
    const alone = people.map((person) => expectedSurvival(table, person, times).survival);
    const mean = times.map((_, i) => alone.reduce((sum, s) => sum + s[i]!, 0) / people.length);
    assertAllClose(cohort.survival, mean);
    assert.equal(cohort.survival[0], 1);
    for (let i = 1; i < times.length; i++) assert.ok(cohort.survival[i]! < cohort.survival[i - 1]!);
  }));
});

// By hand: five person-years at hazard -log 0.9 and one death.
Deno.test("observedToExpected() sums the hazard over time under observation", () => {
  const table = readLifeTable("sex,age,q\nF,70,0.1\n");
  const data = { age: [70, 75], sex: ["F", "F"], time: [2, 4], event: [1, 0], entry: [0, 1] };
  const found = observedToExpected(table, data);
  assertClose(found.expected, -5 * Math.log(0.9));
  assert.equal(found.personTime, 5);
  assertClose(found.estimate, 1 / (-5 * Math.log(0.9)));
});

// Source: exact Poisson limits of 10 are 4.795 and 18.390 (tabulated; from memory).
Deno.test("observedToExpected() has exact Poisson limits", () => {
  const table = readLifeTable("sex,age,q\nM,60,0.05\n");
  const data = {
    age: Array(40).fill(60),
    sex: Array(40).fill("M"),
    time: Array(40).fill(3),
    event: Array.from({ length: 40 }, (_, i) => i < 10 ? 1 : 0),
  };
  const found = observedToExpected(table, data);
  const printed = { relative: 0, absolute: 5e-4 };
  assertClose(found.lower * found.expected, 4.795, printed);
  assertClose(found.upper * found.expected, 18.39, printed);
  const none = observedToExpected(table, { ...data, event: Array(40).fill(0) });
  assert.deepEqual([none.estimate, none.lower], [0, 0]);
  assertClose(none.upper * none.expected, -Math.log(0.025));
});

// By hand: 20 of 20 die where 0.1 are expected each, none of 20 where 0.9 are. R = 20 / 20 = 1, the
// squares are 20 (0.9^2 + 0.9^2) = 32.4, the dispersion 1.62.
Deno.test("observedToExpected() has wider limits among others, where ratios differ", () => {
  const table = readLifeTable(`sex,age,q\nM,60,${1 - Math.exp(-0.1)}\n`);
  const people = { age: Array(40).fill(60), sex: Array(40).fill("M") };
  const event = Array.from({ length: 40 }, (_, i) => i < 20 ? 1 : 0);
  const time = event.map((died) => died ? 1 : 9);
  const differing = observedToExpected(table, { ...people, time, event });
  assertClose(differing.expected, 20);
  // the exact limits of 20 / 1.62 deaths (identity)
  const deaths = 20 / 1.62;
  assertClose(
    differing.ofAll.lower,
    distributions.chiSquareQuantile(0.025, 2 * deaths) / (2 * deaths),
  );
  assertClose(
    differing.ofAll.upper,
    distributions.chiSquareUpperQuantile(0.025, 2 * deaths + 2) / (2 * deaths),
  );
  assert.ok(differing.ofAll.lower < differing.lower && differing.ofAll.upper > differing.upper);
  // where all are alike the two are one
  const alike = observedToExpected(table, { ...people, time: Array(40).fill(2), event });
  assert.deepEqual(alike.ofAll, { lower: alike.lower, upper: alike.upper });
});

Deno.test("observedToExpected() is unchanged by cutting a life in two rows (identity)", () => {
  const table = readLifeTable(inventedLifeTable());
  const whole = observedToExpected(table, {
    age: [66.2, 71],
    sex: ["F", "M"],
    year: [2004.7, 2010],
    time: [9, 3],
    event: [1, 0],
  });
  const cut = observedToExpected(table, {
    age: [66.2, 66.2, 71],
    sex: ["F", "F", "M"],
    year: [2004.7, 2004.7, 2010],
    entry: [0, 3.3, 0],
    time: [3.3, 9, 3],
    event: [0, 1, 0],
  });
  assertAllClose([cut.expected, cut.estimate, cut.upper], [
    whole.expected,
    whole.estimate,
    whole.upper,
  ]);
});

Deno.test("readLifeTable() reads the demonstration's table, which says it is invented", () => {
  const text = Deno.readTextFileSync(new URL("../../../data-demo/life-table.csv", import.meta.url));
  assert.equal(text, inventedLifeTable());
  assert.match(text.split("\n")[0]!, /^# INVENTED/);
  const table = readLifeTable(text);
  assert.deepEqual(table.source, ["invented"]);
  assert.deepEqual(table.sexes, ["F", "M"]);
  assert.equal(table.ages.length, 111);
  assert.equal(table.years.length, 8);
});

Deno.test("readLifeTable() names what is wrong with the file", () => {
  const cases: [string, RegExp][] = [
    ["", /csvText/],
    ["sex,age,q\n", /csvText/],
    ["sex,age\nF,70\n", /column "q"/],
    ["sex,age,q,country\nF,70,0.1,x\n", /"country"/],
    ["sex,age,q\nF,70,1.2\n", /q\[0\] must be a probability/],
    ["sex,age,q\nF,70,\n", /q\[0\]/],
    ["sex,age,q\nF,70.5,0.1\n", /age\[0\] must be a whole number/],
    ["sex,age,q\nF,70,0.1\nF,72,0.1\n", /age must be to go on with 71/],
    ["sex,age,q\nF,70,0.1\nF,70,0.1\n", /age\[1\] must be listed once/],
    ["sex,age,q\nF,70,0.1\nF,71,0.1\nM,70,0.1\n", /"M" lacks one, got 71/],
    ["sex,age,year,q\nF,70,2000,0.1\nF,71,2001,0.1\n", /and year 2000 lacks one, got 71/],
  ];
  for (const [text, message] of cases) {
    assert.throws(
      () => readLifeTable(text),
      (error: unknown) => error instanceof DataError && message.test(error.message),
      String(message),
    );
  }
});

Deno.test("expectedSurvival() and observedToExpected() name what is wrong with their input", () => {
  const table = readLifeTable(SMALL);
  const dated = readLifeTable(DATED);
  const data = { age: [70], sex: ["F"], time: [1], event: [1] };
  assert.throws(() => expectedSurvival(table, { age: 60, sex: "F" }, [1]), /age\[0\]/);
  assert.throws(() => expectedSurvival(table, { age: NaN, sex: "F" }, [1]), /age\[0\]/);
  assert.throws(() => expectedSurvival(table, { age: 70, sex: "X" }, [1]), /"F" or "M", got "X"/);
  assert.throws(() => expectedSurvival(table, { age: 70, sex: "F" }, [-1]), /times\[0\]/);
  assert.throws(() => expectedSurvival(dated, { age: 70, sex: "F" }, [1]), /year must be given/);
  assert.throws(() => observedToExpected(table, { ...data, sex: [] }), /sex must be of length 1/);
  assert.throws(() => observedToExpected(table, { ...data, time: [0] }), /deaths are expected/);
  const weighted = { ...data, weight: [2] };
  assert.throws(() => observedToExpected(table, weighted), /weight must be left out/);
  const certain = readLifeTable("sex,age,q\nF,70,0.1\nF,71,1\n");
  assert.equal(expectedSurvival(certain, { age: 70, sex: "F" }, [2]).survival[0], 0);
  assert.throws(() => observedToExpected(certain, { ...data, time: [1.5] }), /below q = 1/);
});

Deno.test("observedToExpected() refuses days given for years, by the age they would lead to", () => {
  const table = readLifeTable(SMALL);
  const data = { age: [70, 71], sex: ["F", "M"], event: [1, 0] };
  assert.throws(
    () => observedToExpected(table, { ...data, time: [2, 60] }),
    /time\[1\] must be such that nobody grows older than 120 \(times are in years\), got 60/,
  );
  assert.throws(
    () => observedToExpected(table, { ...data, time: [700, 2] }),
    /time\[0\] must be in years, at most 120/,
  );
  assert.ok(observedToExpected(table, { ...data, time: [2, 49] }).expected > 0);
});
