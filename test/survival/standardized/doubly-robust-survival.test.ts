import assert from "node:assert/strict";
import { doublyRobustSurvival } from "mitral";
import { invented, ownModel } from "./invented.ts";

Deno.test("doublyRobustSurvival() warns where censoring leaves no chance of being seen", () => {
  const data = invented(4, 400);
  // follow-up ends at a time that u fixes: nobody with a small u could be seen at 5
  const u = data.time.map((_, i) => (i % 40) / 4);
  const time = data.time.map((t, i) => Math.min(t, u[i]! + 0.01));
  const event = data.event.map((code, i) => data.time[i]! <= u[i]! + 0.01 ? code : 0);
  const ended = { ...data, time, event, covariates: { ...data.covariates, u } };
  const { warnings } = doublyRobustSurvival(ended, { times: [5] });
  assert.match(warnings.join(" "), /At 5, some rows had next to no chance of being followed/);
  const models = { censoring: ["x"] };
  assert.deepEqual(doublyRobustSurvival(ended, { times: [5], models }).warnings, []);
});

Deno.test("doublyRobustSurvival() counts predictions below 0, and gives no limits without events", () => {
  const data = invented(9, 120);
  // the covariate decides almost alone when a row has its event
  const time = data.time.map((value, i) => value * Math.exp(-3 * data.covariates.x[i]!));
  const steep = { ...data, time };
  const { warnings } = doublyRobustSurvival(steep, { times: [8] });
  const below = standardizedRowsBelow(steep);
  assert.equal(warnings.some((text) => /fell below 0 for \d+ of 120/.test(text)), below > 0);
  assert.ok(below > 0, "the case should have some");
  const few = data.event.map((code, i) => i < 4 ? code : 0);
  const { contrasts, warnings: told } = doublyRobustSurvival({ ...data, event: few }, {
    times: [1],
  });
  assert.ok(Number.isNaN(contrasts[0]!.difference.standardError));
  assert.ok(told.some((text) => /no more events than covariates/.test(text)));
});

/** Rows and groups for which a step of the group's own model takes more than all survival away. */
function standardizedRowsBelow(data: ReturnType<typeof invented>): number {
  let count = 0;
  for (const group of [0, 1]) {
    const { baseline: { time, cumulativeHazard }, riskOf } = ownModel(data, group);
    data.time.forEach((_, i) => {
      const risk = riskOf(i);
      let below = false;
      for (let u = 0; u < time.length && time[u]! <= 8; u++) {
        if (risk * (cumulativeHazard[u]! - (cumulativeHazard[u - 1] ?? 0)) >= 1) below = true;
      }
      if (below) count++;
    });
  }
  return count;
}
