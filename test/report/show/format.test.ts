import assert from "node:assert/strict";
import fc from "fast-check";
import {
  formatEstimate,
  formatNumber,
  formatP,
  formatPercent,
  formatRange,
  roundTo,
} from "../../../lib/words/format.ts";

Deno.test("formatNumber() groups thousands and writes a true minus sign", () => {
  // by hand
  assert.equal(formatNumber(12345.678, { digits: 1 }), "12,345.7");
  assert.equal(formatNumber(1234567), "1,234,567");
  assert.equal(formatNumber(-0.5, { digits: 1 }), "−0.5");
  assert.equal(formatNumber(0.012345), "0.01235");
  assert.equal(formatNumber(123.456), "123.5");
});

Deno.test("formatNumber() never prints a negative zero, and names what is no number", () => {
  // by hand
  assert.equal(formatNumber(-0.04, { digits: 1 }), "0.0");
  assert.equal(formatNumber(0.75), "0.75");
  assert.equal(formatNumber(1 / 3), "0.3333");
  assert.equal(formatNumber(1000.4), "1,000");
  assert.equal(formatNumber(0.0000001), "0");
  assert.equal(formatNumber(NaN), "–");
  assert.equal(formatNumber(null), "–");
  assert.equal(formatNumber(Infinity), "∞");
  assert.equal(formatNumber(-Infinity), "−∞");
});

Deno.test("roundTo() rounds decimal ties away from zero, as a reader would", () => {
  // by hand; each of these is below its tie in binary, so toFixed() would round it down
  assert.equal(roundTo(1.005, 2), 1.01);
  assert.equal(roundTo(0.285, 2), 0.29);
  assert.equal(roundTo(-2.5, 0), -3);
  assert.equal(roundTo(-0.4, 0), 0);
  assert.ok(Object.is(roundTo(-0.4, 0), 0));
});

Deno.test("roundTo() stays within half a unit of the last place", () => {
  // identity
  fc.assert(fc.property(
    fc.double({ min: -1e6, max: 1e6, noNaN: true }),
    fc.integer({ min: 0, max: 6 }),
    (value, digits) => {
      const slack = 1e-9 * Math.max(1, Math.abs(value));
      assert.ok(Math.abs(roundTo(value, digits) - value) <= 0.5 * 10 ** -digits + slack);
    },
  ));
});

Deno.test("formatP() bounds both ends and keeps three decimals below 0.1", () => {
  // by hand
  assert.equal(formatP(0.00002), "p < 0.001");
  assert.equal(formatP(0.0496), "p = 0.050");
  assert.equal(formatP(0.0994), "p = 0.099");
  assert.equal(formatP(0.0996), "p = 0.10");
  assert.equal(formatP(0.285), "p = 0.29");
  assert.equal(formatP(0.9999), "p > 0.99");
  assert.equal(formatP(NaN), "–");
});

Deno.test("formatRange() and formatEstimate() write limits in words", () => {
  // by hand
  assert.equal(formatRange(3.14, 5.19, { digits: 1 }), "3.1 to 5.2");
  assert.equal(formatRange(-4, 8), "−4 to 8");
  assert.equal(
    formatEstimate({ estimate: 4.1, lower: 3.14, upper: Infinity }, { digits: 1 }),
    "4.1 (3.1 to ∞)",
  );
  assert.equal(formatPercent(0.7123), "71.2%");
});
