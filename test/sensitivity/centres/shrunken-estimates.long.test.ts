import assert from "node:assert/strict";
import { SeededRandom, shrunkenEstimates } from "mitral";

// Simulation, seeded: averaged over populations, limits hold the truth as often as they claim.
Deno.test("shrunkenEstimates() hold the truth as often as their limits claim", () => {
  const random = new SeededRandom(20);
  const runs = 150;
  for (const [count, deviation] of [[2, 0], [2, 2], [3, 1], [4, 4]] as const) {
    let held = 0;
    for (let run = 0; run < runs; run++) {
      const variances = Array.from({ length: count }, (_, i) => i % 2 === 0 ? 0.5 : 2);
      const truths = variances.map(() => 3 + deviation * random.normal());
      const estimates = truths.map((t, i) => t + Math.sqrt(variances[i]!) * random.normal());
      shrunkenEstimates({ estimates, variances }).populations.forEach((one, i) => {
        if (one.lower <= truths[i]! && truths[i]! <= one.upper) held++;
      });
    }
    const share = held / (runs * count);
    // three Monte-Carlo errors of a share of 0.95; populations of a run are nearly independent
    const error = Math.sqrt(0.95 * 0.05 / (runs * count));
    assert.ok(share > 0.95 - 3 * error, `${count} populations, ${deviation}: ${share}`);
    assert.ok(share < 0.99, `${count} populations, ${deviation}: ${share}`);
  }
});
