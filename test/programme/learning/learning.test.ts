import assert from "node:assert/strict";
import { DataError, experienceOf, learningCurve, learningPlateau, SeededRandom } from "mitral";
import { assertAllClose, assertClose } from "../../close.ts";
import { type Programme, programme } from "../programmes.ts";

const dataOf = ({ outcome, unit, experience, covariates }: Programme) => ({
  outcome,
  unit,
  experience,
  covariates,
});

// By hand.
Deno.test("experienceOf() counts what each surgeon had done before", () => {
  assertAllClose(experienceOf(["A", "B", "A", "A", "B"], { B: 40 }), [0, 40, 1, 2, 41]);
  assert.throws(
    () => experienceOf(["A"], { A: -1 }),
    new DataError("before.A", "a whole number >= 0", -1),
  );
});

// Identity: an amount that is a straight line in the root of experience, without noise but for the
// surgeons' own levels, is given back, and its plateau where it has one.
Deno.test("learningCurve() and learningPlateau() give back a curve without noise", () => {
  const unit: string[] = [];
  const experience: number[] = [];
  for (const [name, size] of [["A", 120], ["B", 80], ["C", 60]] as const) {
    for (let k = 0; k < size; k++) {
      unit.push(name);
      experience.push(k);
    }
  }
  const level: Record<string, number> = { A: 60, B: 75, C: 66 };
  const minutes = experience.map((done, i) => level[unit[i]!]! - 2 * Math.sqrt(done));
  const curve = learningCurve({ outcome: minutes, unit, experience }, {
    kind: "amount",
    at: [0, 25, 100],
  });
  const average = (60 * 120 + 75 * 80 + 66 * 60) / 260;
  const close = { relative: 1e-8, absolute: 1e-8 };
  assertAllClose(curve.estimate, [average, average - 10, average - 20], close);
  const broken = experience.map((done, i) =>
    level[unit[i]!]! + 30 * Math.max(0, 1 - done / 40) + 0.01 * ((7 * i) % 11 - 5)
  );
  const { seen, cases, beginner } = learningPlateau({ outcome: broken, unit, experience }, {
    kind: "amount",
    points: 80,
  });
  assert.equal(seen, true);
  assertClose(cases!.estimate, 40, { relative: 0.05, absolute: 0 }); // between two numbers tried
  assertClose(beginner.estimate, 30, { relative: 0.05, absolute: 0 });
});

// Identity: another order of rows, or none of them a new draw, changes nothing;
// another seed little.
Deno.test("learningPlateau() is fixed by its seed", () => {
  const drawn = programme(new SeededRandom(12), {
    base: -2,
    spread: 0.3,
    learning: { logOdds: 1.6, cases: 50 },
  });
  const of = (seed: number) => learningPlateau(dataOf(drawn), { points: 20, seed });
  assert.deepEqual(of(1), of(1));
  const [one, other] = [of(1), of(2)];
  assert.equal(one.test.statistic, other.test.statistic);
  assertClose(other.cases!.lower, one.cases!.lower, { relative: 0.1, absolute: 0 });
  assertClose(other.cases!.upper, one.cases!.upper, { relative: 0.1, absolute: 0 });
});

// Hard edge: beginners who are worse for good do not make a learning curve: differences between
// surgeons are held apart.
Deno.test("learningCurve() does not take unequal surgeons for learning", () => {
  const random = new SeededRandom(9);
  const outcome: number[] = [];
  const unit: number[] = [];
  const experience: number[] = [];
  for (let s = 0; s < 10; s++) {
    // five with long experience and few events, five beginners with many, none of whom change
    for (let k = 0; k < 80; k++) {
      outcome.push(random.bernoulli(s < 5 ? 0.08 : 0.3));
      unit.push(s);
      experience.push(s < 5 ? 150 + k : k);
    }
  }
  const curve = learningCurve({ outcome, unit, experience }, { knots: 3 });
  assert.equal(curve.converged, true);
  assert.ok(curve.test.pValue > 0.01, `p ${curve.test.pValue}`);
  assert.ok(curve.lower.every((low, k) => low <= curve.estimate[k]! && low >= 0));
});

Deno.test("the learning curve says what is wrong with its input", () => {
  const data = { outcome: [0, 1, 0], unit: ["A", "B", "A"], experience: [0, 0, 1] };
  assert.throws(
    () => learningCurve({ ...data, outcome: [0, 2, 0] }),
    new DataError("outcome", "0 or 1", 2, 1),
  );
  assert.throws(
    () => learningPlateau({ ...data, experience: [0, -1, 2] }),
    new DataError("experience", "a finite number >= 0", -1, 1),
  );
  assert.throws(() => learningPlateau({ ...data, unit: ["A", "A", "A"] }), DataError);
  assert.throws(() => learningPlateau(data), /experience must be up to more than/);
});
