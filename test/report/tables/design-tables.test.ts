import assert from "node:assert/strict";
import { intentionTable, methodTable, repeatedTable } from "mitral";

// All expectations by hand.

const heading = { id: "table", title: "Table", caption: "Invented." };
const labels = { repair: "Repair", replacement: "Replacement" };
const limits = { estimate: 0.02, lower: -0.03, upper: 0.07, standardError: 0.025, pValue: 0.42 };
const contrast = { time: 5, groups: [], difference: limits };

Deno.test("methodTable() puts whom it speaks of beside every estimate", () => {
  const { rows } = methodTable(heading, [
    { method: "Weighted", whom: "among all", contrasts: [contrast] },
    { method: "Pairs", whom: "among the matched", contrasts: [contrast, contrast] },
  ]);
  assert.equal(rows.length, 3);
  assert.deepEqual(rows[0], {
    method: "Weighted",
    whom: "among all",
    years: 5,
    estimate: 2,
    lower: -3,
    upper: 7,
    p: 0.42,
  });
});

Deno.test("repeatedTable() keeps one unit in a line", () => {
  const { rows, notes } = repeatedTable(heading, [{
    comparison: "months",
    whom: "among all",
    given: { estimate: 1, lower: 0.5, upper: 1.5 },
    repeated: {
      lower: 0.25,
      upper: 2,
      failed: 3,
      bias: -0.5,
      used: { method: "normal", why: "It jumps." },
    },
    times: 12,
  }]);
  const { estimate, lower, upper, from, to, bias, limits, failed } = rows[0]!;
  assert.deepEqual([estimate, lower, upper, from, to, bias, failed], [12, 6, 18, 3, 24, -6, 3]);
  assert.equal(limits, "normal");
  assert.deepEqual(notes, ["Limits normal: It jumps."]);
});

Deno.test("intentionTable() counts converted patients where each analysis has them", () => {
  const line = (by: "intended" | "final", replacementRepair: number) => ({
    by,
    method: "Weighted",
    procedures: {
      repairRepair: 100,
      repairReplacement: 20,
      replacementRepair,
      replacementReplacement: 80,
      conversions: [],
    },
    contrast,
  });
  const plan = { ...heading, labels, smallestCell: 11, confidence: 0.95 };
  const sizes = (by: "intended" | "final", rare: number) => {
    const { repair, repairConverted, replacement, replacementConverted } = intentionTable(plan, [
      line(by, rare),
    ]).rows[0]!;
    return [repair, repairConverted, replacement, replacementConverted];
  };
  assert.deepEqual(sizes("intended", 15), [120, 20, 95, 15]);
  assert.deepEqual(sizes("final", 15), [115, 15, 100, 20]);
  // as it ended, 104 repairs less the 100 of 120 that were meant would be the 4
  assert.deepEqual(sizes("intended", 4), [120, 20, 84, "< 11"]);
  assert.deepEqual(sizes("final", 4), [null, "< 11", null, 20]);
});
