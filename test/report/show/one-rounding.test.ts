import assert from "node:assert/strict";
import { percentText } from "../../../lib/figures/drawing/mod.ts";
import { publishedShare } from "../../../lib/disclosure/mod.ts";
import { walkSync } from "../walk.ts";
import { table } from "../../../lib/report/show/mod.ts";
import { cellText } from "../../../lib/report/show/table.ts";
import { formatChange, formatNumber, formatPercent, per100 } from "../../../lib/words/mod.ts";

/**
 * What schoolbook rounding makes of k / 10,000: whole numbers alone, so that no binary form enters.
 */
function schoolbook(k: number, digits: number): string {
  const unit = 10 ** (4 - digits);
  const rounded = Math.floor((2 * k + unit) / (2 * unit)); // in units of the last place printed
  const text = String(rounded).padStart(digits + 1, "0");
  return digits === 0 ? text : `${text.slice(0, -digits)}.${text.slice(-digits)}`;
}

Deno.test("a number reads alike wherever it is printed, and as by hand, for 9,999 values", () => {
  // identity: text, table, figure and sentence against rounding in whole numbers
  const percent = table({
    id: "t",
    title: "t",
    caption: "c",
    columns: [{ key: "x", label: "x", kind: "percent" }],
    rows: Array.from({ length: 9_999 }, (_, i) => ({ x: (i + 1) / 10_000 })),
  });
  for (let k = 1; k <= 9_999; k++) {
    const value = k / 10_000;
    for (const digits of [0, 1, 2, 3]) {
      const expected = schoolbook(k, digits);
      assert.equal(formatNumber(value, { digits }), expected, `${value}`);
      const columns = [{ key: "x", label: "x", kind: "number" as const, digits }];
      const input = { id: "t", title: "t", caption: "c", columns, rows: [{ x: value }] };
      assert.equal(cellText(input, columns[0]!, input.rows[0]!), expected);
    }
    // per 100: the point moves by two places
    for (const digits of [0, 1]) {
      const expected = schoolbook(k, digits + 2);
      const [whole = "", fraction = ""] = expected.split(".");
      const moved = Number(whole + fraction.slice(0, 2)) + (digits ? `.${fraction.slice(2)}` : "");
      assert.equal(formatPercent(value, { digits }), `${moved}%`);
      assert.equal(formatChange(per100(value), { digits }).replace("+", ""), moved);
    }
    // a figure gives one decimal below a tenth, where a table gives one throughout
    const figure = percentText(value);
    assert.equal(figure, formatPercent(value, { digits: value < 0.0995 ? 1 : 0 }));
    const printed = cellText(percent, percent.columns[0]!, percent.rows[k - 1]!);
    if (figure.includes(".")) assert.equal(`${printed}%`, figure, `${value}`);
    assert.equal(printed, formatNumber(publishedShare(value, { per: 100 }), { digits: 1 }));
  }
});

Deno.test("nothing but the one rule rounds a number that a reader of results sees", () => {
  // what is no result: seconds of a run and how many are left, how sure a guess at a column is, a
  // place on a drawing, and numbers written to be read by programs again
  const others = /^lib\/(simulate|report\/notebooks|report\/begin|cohort\/(begin|propose|cells))\//;
  const rule = "lib/words/format.ts";
  const seconds = "lib/report/build-report.ts";
  const left = "lib/words/time-left.ts";
  const places = "lib/report/page/script/read-curves.ts";
  const ticks = "lib/figures/estimates/calibration-figure.ts";
  const found = [...walkSync("lib")].filter(([path, source]) =>
    source.includes(".toFixed(") && !others.test(path)
  ).map(([path]) => path).sort();
  assert.deepEqual(found, [ticks, seconds, places, left, rule].sort());
});

Deno.test("no share is made a per cent by a rounding of its own", () => {
  // what is no result: how far reading is, how sure a guess at a column is
  const others = /^lib\/(simulate|report\/begin|cohort\/(begin|file|propose))\//;
  const own = /Math\.round\((100 \* |\w+ \* 100\))/;
  // what reads a drawing or a percentage back
  const readers = ["lib/report/reading/figures.ts"];
  const found = [...walkSync("lib")].filter(([path, source]) =>
    !others.test(path) && !readers.includes(path) &&
    source.split("\n").some((line) => own.test(line))
  ).map(([path]) => path).sort();
  assert.deepEqual(found, []);
});

Deno.test("a difference rounds as its decimal text does, not as what subtraction left of it", () => {
  // by hand: 0.7245 - 0.7 is 0.02450000000000008 in binary, 0.0245 - 0.7245 misses -0.7
  assert.equal(formatNumber(0.7245 - 0.7, { digits: 3 }), "0.025");
  assert.equal(formatNumber(0.71 - 0.665, { digits: 2 }), "0.05");
  assert.equal(formatNumber(0.665 - 0.71, { digits: 2 }), "−0.05");
  assert.equal(formatChange(per100(0.285), { digits: 0 }), "+29");
  assert.equal(formatChange(-0.04, { digits: 1 }), "0.0");
});
