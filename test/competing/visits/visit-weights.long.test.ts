import assert from "node:assert/strict";
import { estimates, looked, truth } from "./visit-cohorts.ts";

Deno.test("visitWeights() recovers the rate ratio and the proportion; unweighted visits do not", () => {
  // Known truth: 30 samples of 400 invented patients, at 2 and 5 years. What the two estimates are
  // off by, in Monte-Carlo errors of their mean.
  const times = [2, 5];
  const samples = 30;
  const sums = { plain: new Float64Array(4), weighted: new Float64Array(4), ratio: 0 };
  const squares = { plain: new Float64Array(4), weighted: new Float64Array(4) };
  let covered = 0;
  for (let seed = 0; seed < samples; seed++) {
    const { model, plain, weighted } = estimates(looked(400, 100 + seed, "last-seen"), times);
    sums.ratio += model.model.terms[0]!.hazardRatio / samples;
    for (const [name, found] of [["plain", plain], ["weighted", weighted]] as const) {
      found.groups.forEach((curve, group) =>
        times.forEach((t, k) => {
          const off = curve.proportion[k]! - truth(group, t);
          sums[name][2 * group + k]! += off / samples;
          squares[name][2 * group + k]! += off * off / samples;
          if (name === "plain") return;
          if (curve.lower[k]! <= truth(group, t) && truth(group, t) <= curve.upper[k]!) covered++;
        })
      );
    }
  }
  const inErrors = (name: "plain" | "weighted") =>
    Array.from(
      sums[name],
      (bias, j) => bias / Math.sqrt((squares[name][j]! - bias ** 2) / samples),
    );
  assert.ok(Math.abs(sums.ratio - 5) < 0.25, `rate ratio ${sums.ratio}`);
  for (const z of inErrors("weighted")) assert.ok(Math.abs(z) < 3.5, `weighted off by ${z}`);
  for (const z of inErrors("plain")) assert.ok(z > 8, `unweighted off by ${z} only`);
  // and the bias is one that matters: over four in a hundred in the worse group
  assert.ok(sums.plain[2]! > 0.04 && sums.plain[3]! > 0.04);
  assert.ok(Math.abs(sums.weighted[2]!) < 0.015 && Math.abs(sums.weighted[3]!) < 0.015);
  // limits of 95%: 120 correlated tries, expected 114
  assert.ok(covered >= 104, `${covered} of 120 covered`);
});
