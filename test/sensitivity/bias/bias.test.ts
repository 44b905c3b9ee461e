import assert from "node:assert/strict";
import fc from "fast-check";
import * as mitral from "mitral";
import { assertClose } from "../../close.ts";

const at = (value: number): mitral.Prior => ({ form: "even", from: value, to: value });

// identity: priors that leave no doubt give the plain bias formula
Deno.test("supposedConfounder() without doubt is confounderBias()", () => {
  const found = mitral.supposedConfounder(
    { scale: "ratio", value: 0.72, standardError: 0 },
    { outcome: at(2), prevalence: [at(0.1), at(0.4)] },
    { seed: 1, draws: 100 },
  );
  const plain = mitral.confounderBias({ ratio: 0.72, outcomeRatio: 2, prevalence: [0.1, 0.4] });
  assertClose(found.total.median, plain.ratio);
  assertClose(found.systematic.lower, plain.ratio);
  assert.equal(found.turned, 0);
  // by hand: 0.05 less 0.2 (0.3 - 0.1)
  const difference = mitral.supposedConfounder(
    { scale: "difference", value: 0.05, standardError: 0 },
    { outcome: at(0.2), prevalence: [at(0.3), at(0.1)] },
    { seed: 1, draws: 100 },
  );
  assertClose(difference.total.median, 0.01);
});

// A planted confounder: U doubles the outcome and is in 3 of 10 treated, 1 of 10 controls; the
// treatment does nothing. What the analysis says of the crude difference must bring back 0.
Deno.test("supposedConfounder() takes back what a planted confounder did", () => {
  const random = new mitral.SeededRandom(5);
  const n = 20_000;
  const counts = [[0, 0], [0, 0]];
  for (let i = 0; i < n; i++) {
    const treated = i % 2;
    const u = random.bernoulli(treated ? 0.3 : 0.1);
    const outcome = random.bernoulli(u ? 0.4 : 0.2);
    counts[treated]![0]! += outcome;
    counts[treated]![1]!++;
  }
  const [control, treated] = counts.map(([events, total]) => events! / total!);
  const standardError = Math.hypot(
    ...[control!, treated!].map((p) => Math.sqrt(p * (1 - p) / (n / 2))),
  );
  const value = treated! - control!;
  assert.ok(value > 4 * standardError, "the crude difference is far from none");
  const prior = (from: number, to: number): mitral.Prior => ({ form: "even", from, to });
  const { total, systematic } = mitral.supposedConfounder(
    { scale: "difference", value, standardError },
    { outcome: prior(0.15, 0.25), prevalence: [prior(0.25, 0.35), prior(0.05, 0.15)] },
    { seed: 1 },
  );
  assert.ok(Math.abs(total.median) < 3 * standardError, String(total.median));
  assert.ok(total.lower < 0 && total.upper > 0);
  assert.ok(total.upper - total.lower > systematic.upper - systematic.lower);
});

Deno.test("supposedConfounder() draws what priors say", () => {
  const ranges = (outcome: mitral.Prior) =>
    mitral.supposedConfounder(
      { scale: "ratio", value: 1, standardError: 0 },
      { outcome, prevalence: [at(0), at(1)] },
      { seed: 3, draws: 40_000 },
    ).systematic;
  // with nobody against everybody the ratio becomes the confounder's own: its prior shows
  const normal = ranges({ form: "log-normal", from: 1.5, to: 6 });
  assertClose(normal.lower, 1.5, { relative: 0.03, absolute: 0 });
  assertClose(normal.median, 3, { relative: 0.02, absolute: 0 });
  assertClose(normal.upper, 6, { relative: 0.03, absolute: 0 });
  // by hand: the triangle on 1, 2, 4 has its median at 4 - sqrt(0.5 * 3 * 2)
  const triangle = ranges({ form: "likeliest", from: 1, likeliest: 2, to: 4 });
  assertClose(triangle.median, 4 - Math.sqrt(3), { relative: 0.01, absolute: 0 });
  const even = ranges({ form: "even", from: 1, to: 3 });
  assertClose(even.median, 2, { relative: 0.01, absolute: 0 });
  const wrong = { form: "even", from: -0.1, to: 0.2 } as const;
  assert.throws(
    () =>
      mitral.supposedConfounder(
        { scale: "ratio", value: 1, standardError: 0 },
        { outcome: at(2), prevalence: [wrong, at(0)] },
        { seed: 1 },
      ),
    /prevalence\[0\].from/,
  );
});

// With nothing wrong the control is clean in about 95 of 100; 500 drawn: 475 expected, standard
// deviation 5. A bias of 4 standard errors is seen in 98 of 100.
Deno.test("negativeControl() is clean as often as it claims, and sees a bias that is there", () => {
  const random = new mitral.SeededRandom(8);
  let clean = 0;
  let seen = 0;
  for (let k = 0; k < 500; k++) {
    const error = random.normal();
    if (!mitral.negativeControl({ estimate: error, standardError: 1 }).seen) clean++;
    if (mitral.negativeControl({ estimate: 4 + error, standardError: 1 }).seen) seen++;
  }
  assert.ok(clean > 455 && clean < 495, String(clean));
  assert.ok(seen > 480, String(seen));
  // by hand
  const { allowedFor } = mitral.negativeControl(
    { estimate: 0.02, standardError: 0.03 },
    { estimate: 0.05, standardError: 0.04 },
  );
  assertClose(allowedFor!.estimate, 0.03);
  assertClose(allowedFor!.standardError, 0.05);
});

// by hand: (0.3 + 0.95 - 1) / (0.9 + 0.95 - 1) = 0.294118, (0.2 - 0.05) / 0.85 = 0.176471
Deno.test("misreadOutcome() corrects proportions for how well they are read", () => {
  const accuracy = { sensitivity: [0.9, 0.9], specificity: [0.95, 0.95] } as const;
  const first = { estimate: 0.3, standardError: 0.03 };
  const second = { estimate: 0.2, standardError: 0.04 };
  const exact = mitral.misreadOutcome({ first, second, accuracy });
  assertClose(exact.first[0], 0.25 / 0.85);
  assertClose(exact.second[1], 0.15 / 0.85);
  assertClose(exact.least, 0.1 / 0.85);
  assertClose(exact.greatest, 0.1 / 0.85);
  assertClose(exact.upper, 0.1 / 0.85 + 1.959963984540054 * 0.05 / 0.85);
  assertClose(exact.observed, 0.1);
  const perfect = { sensitivity: [1, 1], specificity: [1, 1] } as const;
  assertClose(mitral.misreadOutcome({ first, second, accuracy: perfect }).least, 0.1);
  // each group's own accuracy can turn the sign
  const apart = mitral.misreadOutcome({
    first,
    second,
    accuracy: { sensitivity: [0.9, 1], specificity: [0.9, 1] },
    secondAccuracy: { sensitivity: [0.6, 1], specificity: [1, 1] },
  });
  assertClose(apart.least, (0.3 - 0.1) / 0.9 - 0.2 / 0.6); // 0.9 and 1 of the first give 0.2222
  assert.throws(
    () =>
      mitral.misreadOutcome({
        first,
        second,
        accuracy: { sensitivity: [0.5, 0.9], specificity: [0.5, 0.9] },
      }),
    /add up to more than 1/,
  );
});

Deno.test("misreadOutcome() within bounds holds every accuracy between them", () => {
  const share = (from: number) => fc.double({ min: from, max: 1, noNaN: true });
  fc.assert(
    fc.property(share(0.7), share(0.7), fc.double({ min: 0, max: 1, noNaN: true }), (a, b, t) => {
      const bounds = (x: number): [number, number] => [Math.min(x, 0.95), Math.max(x, 0.95)];
      const accuracy = { sensitivity: bounds(a), specificity: bounds(b) };
      const first = { estimate: 0.35, standardError: 0.02 };
      const second = { estimate: 0.22, standardError: 0.02 };
      const whole = mitral.misreadOutcome({ first, second, accuracy });
      const inside = ([least, most]: [number, number]): [number, number] => {
        const own = least + t * (most - least);
        return [own, own];
      };
      const one = mitral.misreadOutcome({
        first,
        second,
        accuracy: {
          sensitivity: inside(accuracy.sensitivity),
          specificity: inside(accuracy.specificity),
        },
      });
      assert.ok(one.least >= whole.least - 2e-3 && one.greatest <= whole.greatest + 2e-3);
    }),
  );
});

// by hand: group a: 4 patients, 1 with the event, 2 without, 1 unknown; b: 2 with, 1 without, 1 not
Deno.test("tippingMap() shows what would have to be true of those not known", () => {
  const state = [1, 0, 0, NaN, 1, 1, 0, NaN];
  const group = [..."aaaabbbb"];
  const map = mitral.tippingMap({ state, group }, { shares: [0, 1] });
  assert.deepEqual(
    map.groups.map(({ withEvent, without, unknown }) => [withEvent, without, unknown]),
    [
      [1, 2, 1],
      [2, 1, 1],
    ],
  );
  assert.deepEqual(map.difference.map((row) => [...row]), [[0.25, 0.5], [0, 0.25]]);
  assert.deepEqual(map.ends, { lowest: 0, highest: 0.5 });
  assert.equal(map.turns, false);
  assert.equal(map.turnsAlike, null);
  // with seven times the weight on the one not known in a, 0 lies between
  const weight = [1, 1, 1, 7, 1, 1, 1, 1];
  const other = mitral.tippingMap({ state, group, weight });
  assert.equal(other.turns, true);
  assertClose(other.ends.lowest, 2 / 4 - 8 / 10);
  const share = other.turnsAlike!;
  assertClose((1 + 7 * share) / 10, (2 + share) / 4);
  assert.throws(() => mitral.tippingMap({ state: [2], group: ["a"] }), mitral.DataError);
});

Deno.test("stateByTime() and seenByTime() know only what was seen", () => {
  const followUp = { time: [1, 6, 2, 5, 3], event: [1, 0, 0, 0, 2] };
  assert.deepEqual([...mitral.stateByTime(followUp, { time: 5 })], [1, 0, NaN, 0, 0]);
  const seen = mitral.seenByTime({
    lower: [1, 4.5, 2, 2.5, 0],
    upper: [3, Infinity, Infinity, Infinity, 9],
    death: [NaN, NaN, NaN, 3, NaN],
  }, { time: 5 });
  // found; clear half a year before; not looked at since; clear until death; found later only
  assert.deepEqual([...seen], [1, 0, NaN, 0, NaN]);
});

Deno.test("confounderYardstick() leaves each covariate out in turn", async () => {
  const study = await mitral.openStudy();
  const analysis = mitral.selectEligible(await mitral.readCohort(study), study);
  const few = {
    ...study,
    adjustment: {
      interactions: [],
      covariates: study.adjustment.covariates.filter(({ column }) =>
        ["age", "lvef", "nyha"].includes(column)
      ),
    },
  };
  const death = mitral.followUpOf(analysis, "death");
  const compare = (own: mitral.Analysis, plan: mitral.Study) => {
    const { weight } = mitral.weightedSample(own, plan);
    const data = mitral.underWeights(death, weight);
    return mitral.incidenceDifference(data, { cause: 1, times: [5] })[0]!;
  };
  const found = mitral.confounderYardstick(analysis, few, compare);
  assert.equal(found.measured.length, 3);
  const [strongest] = found.measured;
  const without = {
    ...few,
    adjustment: {
      ...few.adjustment,
      covariates: few.adjustment.covariates.filter(({ column }) => column !== strongest!.column),
    },
  };
  const [all, fewer] = [few, without].map((plan) => compare(analysis, plan).difference.estimate);
  assertClose(strongest!.moved, fewer! - all!);
  assertClose(found.timesStrongest, Math.abs(all! / strongest!.moved));
  assert.ok(found.measured.every(({ moved }) => Math.abs(moved) <= Math.abs(strongest!.moved)));
  assert.ok(found.measured.every(({ asStrongAs }) => asStrongAs! >= 1));
  assert.ok(found.needed!.estimate >= 1);
  // the only covariate has none beside it, and is left in
  const one = {
    ...few,
    adjustment: { ...few.adjustment, covariates: few.adjustment.covariates.slice(0, 1) },
  };
  const alone = mitral.confounderYardstick(analysis, one, compare);
  assert.deepEqual([alone.measured, alone.timesStrongest, alone.timesStrongestForLimit], [
    [],
    NaN,
    NaN,
  ]);
  assert.match(mitral.yardstickSentence(alone), /^The plan adjusts for one covariate alone/);
});
