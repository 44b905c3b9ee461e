import assert from "node:assert/strict";
import { coxRegression, DataError, proportionalHazardsTest, SeededRandom } from "mitral";
import { subdistributionProportionality, subdistributionRegression } from "mitral";
import { timeScore } from "../../../lib/competing/subdistribution/proportionality.ts";
import { stateOf } from "../../../lib/competing/subdistribution/state.ts";
import { assertAllClose, assertClose } from "../../close.ts";

/**
 * Two covariates; with `crossing` 0 the subdistribution hazards of cause 1 are proportional: events
 * of cause 1 have incidence 1 - exp(-0.5 exp(x'b) (1 - exp(-t/3))), the rest have cause 2.
 */
function sample(n: number, seed: number, crossing: number) {
  const random = new SeededRandom(seed);
  const a = Float64Array.from({ length: n }, () => random.bernoulli(0.5));
  const b = Float64Array.from({ length: n }, () => random.normal());
  const time = new Float64Array(n);
  const event = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    const scale = 0.5 * Math.exp(0.5 * a[i]! - 0.3 * b[i]!);
    const u = random.uniform();
    const whole = 1 - Math.exp(-scale);
    let t: number;
    if (u < whole) t = -3 * Math.log(1 + Math.log1p(-u) / scale); // by inverting the incidence
    else t = random.exponential(0.3);
    if (u < whole && crossing && a[i] === 1) t *= crossing;
    const censoring = 12 * random.uniform();
    time[i] = Math.min(t, censoring);
    event[i] = censoring < t ? 0 : u < whole ? 1 : 2;
  }
  return { time, event, covariates: { a, b } };
}

// Identity: the variance is the sum of squared numerical derivatives of the score in the weights,
// up to Fine and Gray's form of the part through G (see the regression's own test).
Deno.test("subdistributionProportionality() variance is that of the numerical derivative", () => {
  const data = sample(150, 4, 0);
  const state = stateOf(subdistributionRegression(data, { cause: 1 }));
  const g = state.design.groupTime.slice();
  const { variance } = timeScore(state, g);
  const scoreAt = (weight: number[]) => {
    const fit = stateOf(subdistributionRegression({ ...data, weight }, { cause: 1 }));
    // back to the units of the covariates, as weights change the scaling
    return timeScore(fit, g).score.map((u, j) => u * fit.design.scale[j]!);
  };
  const squares = new Float64Array(2);
  const index = Array.from(data.time.keys());
  for (const row of index) {
    const up = scoreAt(index.map((i) => i === row ? 1.001 : 1));
    const down = scoreAt(index.map((i) => i === row ? 0.999 : 1));
    squares.forEach((_, j) => squares[j]! += ((up[j]! - down[j]!) / 0.002) ** 2);
  }
  const ours = squares.map((_, j) => variance[j * 3]! * state.design.scale[j]! ** 2);
  assertAllClose(ours, squares, { relative: 0.005, absolute: 0 });
});

Deno.test("subdistributionProportionality() holds its level and sees crossing effects", () => {
  let rejected = 0;
  const replicates = 200;
  for (let seed = 1; seed <= replicates; seed++) {
    const fit = subdistributionRegression(sample(250, seed, 0), { cause: 1 });
    if (subdistributionProportionality(fit).global.pValue < 0.05) rejected++;
  }
  // 5 % of 200, within three Monte-Carlo errors of 1.5 %
  assert.ok(rejected >= 1 && rejected <= 20, `${rejected} of ${replicates} rejected`);
  const crossed = subdistributionRegression(sample(800, 1, 3), { cause: 1 });
  const [a, b] = subdistributionProportionality(crossed).terms;
  assert.ok(a!.pValue < 0.001 && a!.score > 0); // its events are late, so the effect grows
  assert.ok(b!.pValue > 0.01);
});

// Identity, in large samples: without competing events and with the model right, the robust test is
// near the model-based one of the Cox model.
Deno.test("subdistributionProportionality() is near the Cox test where nothing competes", () => {
  const { time, event, covariates } = sample(3000, 9, 1.4);
  const data = { time, event: event.map((code) => code === 1 ? 1 : 0), covariates };
  const ours = subdistributionProportionality(
    subdistributionRegression(data, { cause: 1 }),
    { transform: "identity" },
  );
  const cox = proportionalHazardsTest(coxRegression(data, { ties: "breslow" }), {
    transform: "identity",
  });
  assertClose(ours.terms[0]!.statistic, cox.terms[0]!.statistic, { relative: 0.15, absolute: 0 });
  assertClose(ours.global.statistic, cox.global.statistic, { relative: 0.15, absolute: 0 });
});

Deno.test("subdistributionProportionality() does not change with the unit of time", () => {
  const data = sample(200, 3, 0);
  const fit = subdistributionRegression(data, { cause: 1 });
  const days = subdistributionRegression(
    { ...data, time: data.time.map((t) => 365.25 * t) },
    { cause: 1 },
  );
  for (const transform of ["identity", "log", "incidence"] as const) {
    assertClose(
      subdistributionProportionality(days, { transform }).global.statistic,
      subdistributionProportionality(fit, { transform }).global.statistic,
    );
  }
  assert.throws(() => subdistributionProportionality({ ...fit }), DataError);
});
