import assert from "node:assert/strict";
import fc from "fast-check";
import { countBins } from "../../lib/figures/drawing/bins.ts";
import { percentText, textWidth, wrapText } from "../../lib/figures/drawing/letters.ts";

Deno.test("countBins() counts by hand", () => {
  const bins = countBins([0, 0.1, 0.25, 0.5, 1], { domain: [0, 1], width: 0.25, smallestCell: 1 });
  // by hand: a value on an edge belongs to the bar it begins, the last value to the last bar
  assert.deepEqual(bins.map(({ count }) => count), [2, 1, 1, 1]);
  assert.throws(
    () => countBins([0.5, 1.2], { domain: [0, 1], width: 0.25, smallestCell: 1 }),
    /values\[1\] must be from 0 to 1, got 1.2/,
  );
});

Deno.test("countBins() shows no bar below the smallest cell and loses nobody unless all are few", () => {
  const value = fc.double({ min: 0, max: 1, noNaN: true });
  fc.assert(
    fc.property(fc.array(value, { maxLength: 80 }), fc.integer({ min: 1, max: 15 }), (
      values,
      smallestCell,
    ) => {
      const part = values.filter((_, k) => k % 3 === 0);
      const bins = countBins(values, { domain: [0, 1], width: 0.05, smallestCell, part });
      for (const { count, part } of bins) {
        assert.ok(count === 0 || count >= smallestCell);
        assert.ok(part === 0 || part >= smallestCell);
        assert.ok(count === part || count - part >= smallestCell);
      }
      const total = bins.reduce((sum, { count }) => sum + count, 0);
      assert.equal(total, values.length >= smallestCell ? values.length : 0);
    }),
    { seed: 5, numRuns: 300 },
  );
});

Deno.test("wrapText() keeps every word and no line too wide", () => {
  const word = fc.stringMatching(/^[a-zA-Z]{1,12}$/);
  fc.assert(
    fc.property(fc.array(word, { minLength: 1, maxLength: 12 }), (parts) => {
      const lines = wrapText(parts.join(" "), 160, { size: 14 });
      assert.equal(lines.join(" "), parts.join(" "));
      for (const line of lines) {
        assert.ok(!line.includes(" ") || textWidth(line, 14) <= 160 + 1e-9);
      }
    }),
    { seed: 3, numRuns: 200 },
  );
});

Deno.test("percentText() gives one decimal only where it is small", () => {
  assert.deepEqual([0, 0.004, 0.0994, 0.0996, 0.712, 1].map(percentText), [
    "0%",
    "0.4%",
    "9.9%",
    "10%",
    "71%",
    "100%",
  ]);
});
