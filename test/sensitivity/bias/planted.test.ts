import assert from "node:assert/strict";
import {
  balancingWeights,
  confounderBias,
  incidenceDifference,
  negativeControl,
  propensityScore,
  SeededRandom,
  supposedConfounder,
} from "mitral";

const logistic = (eta: number) => 1 / (1 + Math.exp(-eta));

/** A control outcome that the operation cannot change, compared by overlap weights on what is measured. */
function controlOf(random: SeededRandom, n: number, hidden: number) {
  const x = new Float64Array(n);
  const treated = new Uint8Array(n);
  const event = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    x[i] = random.normal();
    const frail = random.bernoulli(0.3);
    treated[i] = random.bernoulli(logistic(0.2 + 0.8 * x[i]! - hidden * frail));
    event[i] = random.bernoulli(logistic(-1.5 - 0.7 * x[i]! + hidden * frail));
  }
  const { score } = propensityScore({ treated, covariates: { x } });
  const weight = balancingWeights({ treated, score }, { estimand: "overlap" });
  const time = Float64Array.from(event, (had) => had ? 0.5 : 2);
  const data = { time, event, group: treated, weight };
  const [contrast] = incidenceDifference(data, { cause: 1, times: [1] });
  return negativeControl(contrast!.difference);
}

// Limits of 95 % leave no effect out in 5 % of cohorts; with weights taken as known a little less.
Deno.test("negativeControl() declares about 95 % of cohorts clean where nothing is planted", () => {
  const random = new SeededRandom(7101);
  const cohorts = 500;
  let seen = 0;
  for (let k = 0; k < cohorts; k++) if (controlOf(random, 500, 0).seen) seen++;
  // the binomial error of 5 % in 500 is 1 %
  assert.ok(seen / cohorts > 0.015 && seen / cohorts < 0.08, `${seen} of ${cohorts} seen`);
});

Deno.test("negativeControl() sees a strong confounder that was planted and not measured", () => {
  const random = new SeededRandom(7102);
  const cohorts = 100;
  let seen = 0;
  let right = 0;
  for (let k = 0; k < cohorts; k++) {
    const control = controlOf(random, 1000, 2.2);
    if (control.seen) seen++;
    // the frail had fewer repairs and more events
    if (control.bias.estimate < 0) right++;
  }
  assert.ok(seen >= 95, `${seen} of ${cohorts} seen`);
  assert.equal(right, cohorts);
});

// By hand: risks multiply, so the crude ratio is the true one times (1 + (g - 1) p1) / (1 + (g - 1) p0).
Deno.test("a planted unmeasured confounder moves the answer by what the bias analysis says", () => {
  const random = new SeededRandom(7103);
  const n = 400_000;
  const [effect, strength, base] = [0.7, 2.5, 0.1];
  const shares = [0.15, 0.4] as const;
  const counts = [[0, 0], [0, 0]];
  for (let i = 0; i < n; i++) {
    const group = i % 2;
    const frail = random.bernoulli(shares[group]!);
    const risk = base * (group === 0 ? effect : 1) * (frail ? strength : 1);
    counts[group]![0]!++;
    counts[group]![1]! += random.bernoulli(risk);
  }
  const risks = counts.map(([all, had]) => had! / all!);
  const ratio = risks[0]! / risks[1]!;
  const error = Math.sqrt(counts.reduce((sum, [all, had]) => sum + 1 / had! - 1 / all!, 0));
  // what is seen is far from the truth
  assert.ok(Math.log(effect / ratio) > 10 * error, String(ratio));
  const freed = confounderBias({ ratio, outcomeRatio: strength, prevalence: [...shares] }).ratio;
  assert.ok(Math.abs(Math.log(freed / effect)) < 3 * error, `${freed} for ${effect}`);
  const exactly = (value: number) => ({ form: "even" as const, from: value, to: value });
  const drawn = supposedConfounder({ scale: "ratio", value: ratio, standardError: error }, {
    outcome: exactly(strength),
    prevalence: [exactly(shares[0]), exactly(shares[1])],
  }, { seed: 5 });
  assert.ok(Math.abs(drawn.systematic.median / freed - 1) < 1e-9);
  assert.ok(drawn.total.lower < effect && effect < drawn.total.upper);
});
