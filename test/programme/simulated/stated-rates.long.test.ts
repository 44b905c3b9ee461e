import assert from "node:assert/strict";
import {
  concentrationCurve,
  learningPlateau,
  randomInterceptLogistic,
  SeededRandom,
  segmentedTrend,
  standardizedRates,
} from "mitral";
import { type Programme, programme, shareBelow } from "../programmes.ts";

// What a programme is said to show is drawn many times over, from a truth that is known.

const dataOf = ({ outcome, unit, experience, covariates }: Programme) => ({
  outcome,
  unit,
  experience,
  covariates,
});

// By simulation: learning over 50 operations, odds of a beginner e^1.6 times; ten programmes (400
// in test/calibration/programmes/programmes.ts). The limits' 95% asks for at most 3 of 10 outside:
// chance 1e-3.
Deno.test("learningPlateau() finds learning and its limits hold the truth", () => {
  const random = new SeededRandom(2024);
  let held = 0;
  for (let k = 0; k < 10; k++) {
    const drawn = programme(random, {
      base: -2,
      spread: 0.3,
      learning: { logOdds: 1.6, cases: 50 },
    });
    const { seen, cases } = learningPlateau(dataOf(drawn), { points: 20 });
    if (seen && cases!.lower <= 50 && 50 <= cases!.upper) held++;
  }
  assert.ok(held >= 7, `${held} of 10`);
});

// By simulation: surgeons that differ but do not learn. A false alarm in 5% at most (a bound).
Deno.test("learningPlateau() seldom sees learning where there is none", () => {
  const random = new SeededRandom(77);
  let seen = 0;
  for (let k = 0; k < 10; k++) {
    const drawn = programme(random, { base: -2, spread: 0.5 });
    const plateau = learningPlateau(dataOf(drawn), { points: 20 });
    if (plateau.seen) seen++;
    assert.equal(plateau.seen, plateau.cases !== undefined);
  }
  assert.ok(seen <= 3, `${seen} of 10`); // chance of more with 5% each: 1e-3
});

// By simulation: minutes that vary more early on, nothing learnt: 200 programmes, 5% within four
// binomial errors; errors that took rows to vary alike would be wrong here.
Deno.test("learningPlateau() of amounts that vary unequally sees learning at the stated rate", () => {
  const random = new SeededRandom(41);
  let seen = 0;
  for (let k = 0; k < 200; k++) {
    const unit: number[] = [];
    const experience: number[] = [];
    const minutes: number[] = [];
    for (let s = 0; s < 5; s++) {
      const level = 60 + 10 * random.normal();
      for (let done = 0; done < 40; done++) {
        unit.push(s);
        experience.push(done);
        minutes.push(level + (done < 10 ? 30 : 8) * random.normal());
      }
    }
    const { test } = learningPlateau({ outcome: minutes, unit, experience }, {
      kind: "amount",
      points: 10,
      draws: 199,
    });
    if (test.pValue <= 0.05) seen++;
  }
  assert.ok(Math.abs(seen - 10) < 4 * Math.sqrt(200 * 0.05 * 0.95), `${seen} of 200`);
});

// By simulation: limits at a fifth of the patients over 60 samples of 300; truth from a
// sample of 2e5.
Deno.test("concentrationCurve() has limits that hold the truth", () => {
  const draw = (seed: number, n: number) => {
    const random = new SeededRandom(seed);
    const score = Float64Array.from({ length: n }, () => random.normal());
    return { score, outcome: score.map((s) => random.bernoulli(1 / (1 + Math.exp(1.2 - s)))) };
  };
  const truth = concentrationCurve(draw(1, 200_000), { seed: 1, replicates: 20 }).at(0.2).estimate;
  let held = 0;
  for (let k = 0; k < 60; k++) {
    const { lower, upper } = concentrationCurve(draw(100 + k, 300), { seed: k, replicates: 200 })
      .at(0.2);
    if (lower <= truth && truth <= upper) held++;
  }
  assert.ok(held >= 50, `${held} of 60`); // fewer by chance at 95%: 1e-3
});

// By simulation: no change at the date, 200 series: p below 0.05 in 5%, within four errors.
Deno.test("segmentedTrend() sees no change where there is none, at the stated rate", () => {
  const random = new SeededRandom(12);
  let seen = 0;
  for (let k = 0; k < 200; k++) {
    const time = Array.from({ length: 400 }, () => 2010 + 10 * random.uniform());
    const outcome = time.map((t) => random.bernoulli(0.5 + 0.02 * (t - 2015)));
    if (segmentedTrend({ outcome, time }, { dates: [2015] }).changes[0]!.test.pValue < 0.05) seen++;
  }
  assert.ok(seen >= 1 && seen <= 22, `${seen} of 200`);
});

// By simulation: 40 programmes without variation between units and 40 with.
Deno.test("randomInterceptLogistic() sees no variation where there is none, and finds it", () => {
  const random = new SeededRandom(5);
  const fitted = (spread: number) => {
    const unit: number[] = [];
    const outcome: number[] = [];
    for (let s = 0; s < 12; s++) {
      const own = spread * random.normal();
      for (let i = 0; i < 60; i++) {
        unit.push(s);
        outcome.push(random.bernoulli(1 / (1 + Math.exp(1.5 - own))));
      }
    }
    return randomInterceptLogistic({ outcome, unit });
  };
  const none = Array.from({ length: 40 }, () => fitted(0));
  assert.ok(none.every(({ converged }) => converged));
  // half of them at the boundary, 5% significant: binomial(40, .) within four errors
  const atZero = none.filter(({ spread }) => spread === 0).length;
  assert.ok(atZero > 8 && atZero < 36, `${atZero} of 40 at 0`);
  assert.ok(none.filter(({ variation }) => variation.pValue < 0.05).length <= 7);
  const some = Array.from({ length: 40 }, () => fitted(0.6));
  const mean = some.reduce((sum, { spread }) => sum + spread, 0) / 40;
  assert.ok(Math.abs(mean - 0.6) < 0.1, `mean spread ${mean}`);
  assert.ok(some.filter(({ variation }) => variation.pValue < 0.05).length >= 30);
});

// By simulation: 60 programmes of 9 surgeons, all alike but for their case mix (400 in the script
// under test/calibration); and one outlier among them.
Deno.test("standardizedRates() raises false alarms at the stated rate and finds an outlier", () => {
  const random = new SeededRandom(71);
  const p: number[] = [];
  let found = 0;
  for (let k = 0; k < 60; k++) {
    const alike = programme(random, {});
    p.push(...standardizedRates(alike).units.map(({ pValue }) => pValue));
    const { units } = standardizedRates(
      programme(random, { outlier: { unit: "S4", logOdds: -1.2 } }),
    );
    if (units.find(({ unit }) => unit === "S4")!.pValue < 0.05) found++;
  }
  // 540 units, not quite independent: 5% within four binomial errors
  assert.ok(Math.abs(shareBelow(p, 0.05) - 0.05) < 4 * Math.sqrt(0.05 * 0.95 / 540));
  assert.ok(found >= 50, `found ${found} of 60`);
});
