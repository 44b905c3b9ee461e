import assert from "node:assert/strict";
import { intentionTable, methodTable, pairedOutcome, pairedTable, repeatedTable } from "mitral";

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

/** Pairs with the event in both, in the treated only, in the control only, in neither, or unknown. */
function outcomeOf(counts: [number, number, number, number, number]) {
  const fates: [number, number][] = [[1, 1], [1, 0], [0, 1], [0, 0], [2, 0]];
  const data: Record<"time" | "event" | "treated" | "pair", number[]> = {
    time: [],
    event: [],
    treated: [],
    pair: [],
  };
  let pair = 0;
  counts.forEach((count, kind) => {
    for (let k = 0; k < count; k++, pair++) {
      fates[kind]!.forEach((fate, side) => {
        data.time.push(fate === 0 ? 2 : 0.5);
        data.event.push(fate === 1 ? 1 : 0);
        data.treated.push(1 - side);
        data.pair.push(pair);
      });
    }
  });
  return pairedOutcome(data, { at: 1 });
}

Deno.test("pairedTable() reads in those free of the event, and hides what would give counts away", () => {
  const plan = { ...heading, event: "Died", labels, smallestCell: 11 };
  const row = (counts: [number, number, number, number, number]) =>
    pairedTable(plan, [outcomeOf(counts)]).rows[0]!;
  const shown = row([20, 15, 30, 35, 40]);
  assert.equal(shown.estimate, 15); // 100 (30 - 15) / 100: more of the repairs alive
  assert.deepEqual([shown.used, shown.notUsed, shown.repairOnly], [100, 40, 15]);
  // used and difference would give a count below 11
  const few = row([20, 10, 30, 40, 40]);
  assert.deepEqual([few.repairOnly, few.estimate, few.lower, few.p], ["< 11", null, null, null]);
  // pairs used and not used add up to a number that is published elsewhere
  const lost = row([20, 15, 30, 35, 4]);
  assert.deepEqual([lost.used, lost.notUsed, lost.estimate], [null, "< 11", null]);
});

Deno.test("repeatedTable() keeps one unit in a line", () => {
  const { rows } = repeatedTable(heading, [{
    comparison: "months",
    whom: "among all",
    given: { estimate: 1, lower: 0.5, upper: 1.5 },
    repeated: { lower: 0.25, upper: 2, failed: 3 },
    times: 12,
  }]);
  const { estimate, lower, upper, from, to, failed } = rows[0]!;
  assert.deepEqual([estimate, lower, upper, from, to, failed], [12, 6, 18, 3, 24, 3]);
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
