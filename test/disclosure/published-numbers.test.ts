import assert from "node:assert/strict";
import fc from "fast-check";
import { publishedNumber } from "../../lib/disclosure/mod.ts";
import { formatNumber } from "../../lib/words/mod.ts";

Deno.test("publishedNumber() prints as the number would: rounding twice moves no number", () => {
  // 7.1647 has four figures 7.165, which would print as 7.17
  assert.equal(
    formatNumber(publishedNumber(7.1647, { label: "Ratio", digits: 2 }), { digits: 2 }),
    "7.16",
  );
  fc.assert(
    fc.property(
      fc.double({ min: -5000, max: 5000, noNaN: true }),
      fc.integer({ min: 0, max: 4 }),
      (value, digits) => {
        const published = publishedNumber(value, { label: "Ratio", digits });
        assert.equal(formatNumber(published, { digits }), formatNumber(value, { digits }));
      },
    ),
  );
});

Deno.test("publishedNumber() keeps what is printed of a number with many figures (by hand)", () => {
  assert.equal(publishedNumber(12345.678, { label: "Months", digits: 2 }), 12345.68);
  assert.equal(publishedNumber(0.123456, { label: "Months", digits: 2 }), 0.1235);
  assert.equal(publishedNumber(0.123456, { label: "Months" }), 0.1235);
});
