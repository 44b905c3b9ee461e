import assert from "node:assert/strict";
import { confounderBias, SeededRandom, supposedConfounder } from "mitral";
import { controlOf } from "./planted-parts.ts";

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

// By hand: risks multiply, so the crude ratio is the true one times (1 + (g - 1) p1) / (1 + (g
// - 1) p0).
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
