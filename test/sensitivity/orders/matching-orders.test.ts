import assert from "node:assert/strict";
import {
  followUpOf,
  matchedSample,
  matchingOrders,
  scoreGroups,
  shuffledMatches,
  survivalDifference,
  underMatching,
} from "mitral";
import { analysis, propensity, study } from "./demo-orders.ts";

const death = followUpOf(analysis, "death");

Deno.test("matchingOrders() repeats the plan's own answer, and others of the same patients", () => {
  const { named, drawn } = matchingOrders(analysis, study, death, { propensity, draws: 5 });
  const planned = named.filter((order) => order.planned);
  assert.equal(planned.length, 1);
  const own = underMatching(death, matchedSample(analysis, study, { propensity }));
  const [contrast] = survivalDifference(own, {
    times: [study.mainHorizon],
    confidence: study.confidence,
  });
  assert.deepEqual(planned[0]!.contrast, contrast);
  assert.equal(drawn.length, 5);
  assert.deepEqual(drawn, drawn.slice().sort());
});

Deno.test("shuffledMatches() makes pairs of one repair and one replacement within the caliper", () => {
  const width = matchedSample(analysis, study, { propensity }).caliperWidth;
  const score = propensity.linearPredictor;
  for (const { rows, pairId } of shuffledMatches(analysis, study, { propensity, draws: 2 })) {
    assert.equal(new Set(rows).size, rows.length);
    for (let i = 0; i < rows.length; i += 2) {
      const [a, b] = [rows[i]!, rows[i + 1]!];
      assert.equal(pairId[i], pairId[i + 1]);
      assert.deepEqual([analysis.treated[a], analysis.treated[b]], [1, 0]);
      assert.ok(Math.abs(score[a]! - score[b]!) <= width * (1 + 1e-12));
      for (const column of study.matching.alike) {
        assert.equal(analysis.columns[column]![a], analysis.columns[column]![b]);
      }
    }
  }
});

Deno.test("scoreGroups() has every patient once, and the matched among them", () => {
  const sample = matchedSample(analysis, study, { propensity });
  const [repair, replacement] = scoreGroups(analysis, propensity, sample);
  assert.equal(repair.score.length, analysis.groups.counts.repair);
  assert.equal(replacement.score.length, analysis.groups.counts.replacement);
  assert.equal(repair.matched.length + replacement.matched.length, sample.rows.length);
});
