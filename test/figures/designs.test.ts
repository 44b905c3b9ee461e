import assert from "node:assert/strict";
import fc from "fast-check";
import { balanceFigure } from "../../lib/figures/patients/balance-figure.ts";
import { countBins } from "../../lib/figures/drawing/bins.ts";
import { flowFigure } from "../../lib/figures/patients/flow-figure.ts";
import { forestFigure } from "../../lib/figures/estimates/forest-figure.ts";
import { gradeFigure } from "../../lib/figures/over-time/grade-figure.ts";
import { percentText, textWidth, wrapText } from "../../lib/figures/drawing/letters.ts";
import { propensityFigure } from "../../lib/figures/patients/propensity-figure.ts";
import { stackedStatesFigure } from "../../lib/figures/over-time/stacked-states-figure.ts";
import { datingFigure } from "../../lib/figures/over-time/dating-figure.ts";
import { visitFigure } from "../../lib/figures/over-time/visit-figure.ts";
import { DataError } from "../../lib/numerics/columns/errors.ts";
import { readSvg, textsOf } from "./drawing/read-svg.ts";

const words = { id: "one", title: "One" };

Deno.test("balanceFigure() sorts by the size of the difference before", () => {
  const figure = balanceFigure({
    ...words,
    samples: ["Everyone", "Matched"],
    rows: [
      { label: "Small", differences: [0.05, 0] },
      { label: "Large", differences: [-0.6, 0.02] },
      { label: "Middle", differences: [0.3, NaN] },
    ],
  });
  const rows = textsOf(figure.svg, "row-label").sort((a, b) => a.y - b.y).map((t) => t.text);
  assert.deepEqual(rows, ["Large", "Middle", "Small"]);
  assert.match(figure.alt, /Everyone: 2 of 3 at or above 0.1 and Matched: 0 of 3/);
  assert.equal(
    readSvg(figure.svg).filter((e) => e.part === "sample-2" && e.name === "circle").length,
    2,
  );
});

Deno.test("balanceFigure() draws what has no direction on a scale without one", () => {
  const figure = balanceFigure({
    ...words,
    samples: ["Everyone"],
    directions: ["Higher with replacement", "Higher with repair"],
    rows: [
      { label: "Aetiology", differences: [0.7], unsigned: true },
      { label: "Age", differences: [-0.4] },
    ],
  });
  assert.equal(textsOf(figure.svg, "direction").length, 2); // under the signed frame only
  const ticks = textsOf(figure.svg, "x-axis").map((t) => t.text);
  assert.deepEqual(ticks, ["−0.5", "0", "0.5", "0", "0.5"]);
  const dots = readSvg(figure.svg).filter((e) => e.part === "sample-1" && e.name === "circle");
  const at = (k: number) => dots[k]!.x + Number(dots[k]!.attribute("cx"));
  const zero = readSvg(figure.svg).find((e) => e.part === "zero" && e.name === "line")!;
  // one scale in both frames: 0.7 right of zero, 0.4 left of it
  const origin = zero.x + Number(zero.attribute("x1"));
  assert.ok(Math.abs((at(1) - origin) / (origin - at(0)) - 0.7 / 0.4) < 0.01);
  assert.match(figure.caption, /no direction/);
  assert.throws(
    () =>
      balanceFigure({
        ...words,
        samples: ["A"],
        rows: [{ label: "x", differences: [-1], unsigned: true }],
      }),
    />= 0 where they have no direction/,
  );
});

Deno.test("balanceFigure() refuses rows that do not fit its samples", () => {
  const rows = [{ label: "Age", differences: [0.1] }];
  assert.throws(() => balanceFigure({ ...words, samples: ["A", "B"], rows }), /of length 2/);
  assert.throws(() => balanceFigure({ ...words, samples: ["A"], rows: [] }), DataError);
});

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

Deno.test("propensityFigure() draws one group up and the other down from one line", () => {
  const score = (from: number) => Array.from({ length: 40 }, (_, k) => from + k / 100);
  const figure = propensityFigure({
    ...words,
    groups: [{ label: "Repair", score: score(0.5) }, { label: "Replacement", score: score(0.1) }],
    smallestCell: 5,
  });
  const bars = readSvg(figure.svg).filter((e) => e.name === "rect" && e.part === "bars");
  const zero = Number(
    readSvg(figure.svg).find((e) => e.part === "baseline" && e.name === "line")!.attribute("y1"),
  );
  const up = bars.filter((e) =>
    Math.abs(Number(e.attribute("y")) + Number(e.attribute("height")) - zero) < 0.01
  );
  const down = bars.filter((e) => Math.abs(Number(e.attribute("y")) - zero) < 0.01);
  assert.ok(up.length >= 8 && down.length >= 8);
  assert.equal(up.length + down.length, bars.length);
});

Deno.test("visitFigure() counts the visits it does not draw", () => {
  const time = Array.from({ length: 60 }, (_, k) => k / 5);
  const figure = visitFigure({
    ...words,
    groups: [
      { label: "Repair", time, patients: 20 },
      { label: "Replacement", time, patients: 20 },
    ],
    horizon: 10,
  });
  // by hand: 10.2, 10.4 ... 11.8 are later than 10, nine in each group
  assert.match(figure.caption, /^18 later visits/);
});

Deno.test("visitFigure() leaves out the visits before going home, and counts them", () => {
  const time = [...Array.from({ length: 30 }, () => 0.1), ...Array.from({ length: 20 }, () => 1.1)];
  const figure = (from?: number) =>
    visitFigure({
      ...words,
      groups: [{ label: "Repair", time, patients: 30 }, {
        label: "Replacement",
        time,
        patients: 30,
      }],
      horizon: 2,
      from,
    });
  const bars = (svg: string) => readSvg(svg).filter((e) => e.part === "bar" || e.name === "rect");
  assert.ok(bars(figure(0.25).svg).length < bars(figure().svg).length);
  assert.match(figure(0.25).caption, /60 visits before 3 months are not drawn/);
  assert.doesNotMatch(figure().caption, /before/);
  assert.throws(() => figure(2), /from must be 0 to 2/);
});

Deno.test("datingFigure() marks each method once a time and shades between the bounds", () => {
  const rows = [
    { label: "estimate", role: "estimate" as const, incidence: [0.1, 0.2] },
    { label: "found", role: "shortcut" as const, incidence: [0.05, NaN] },
    { label: "low", role: "bound" as const, incidence: [0.08, 0.15] },
    { label: "high", role: "bound" as const, incidence: [0.2, 0.4] },
  ];
  const figure = datingFigure({ ...words, rows, times: [1, 5] });
  const marks = readSvg(figure.svg);
  const shapes = (part: string, names: string[]) =>
    marks.filter((e) => e.part === part && names.includes(e.name)).length;
  // by hand: two methods at 1 year, one at 5, where the second is not known
  assert.equal(shapes("method", ["path", "circle"]), 3);
  assert.equal(shapes("bounds", ["rect"]), 2);
  assert.deepEqual(textsOf(figure.svg, "value").map((e) => e.text), [
    "10.0%",
    "5.0%",
    "20.0%",
    "not known",
  ]);
  assert.match(figure.alt, /After 5 years: estimate 20.0%, found not known/);
  assert.throws(() => datingFigure({ ...words, rows: rows.slice(1), times: [1, 5] }), DataError);
  assert.throws(() => datingFigure({ ...words, rows, times: [1] }), DataError);
});

Deno.test("flowFigure() prints every count and refuses counts that do not add up", () => {
  const flow = (remaining: number) =>
    flowFigure({
      ...words,
      start: { label: "In the file", count: 1200 },
      steps: [{
        excluded: [{ label: "Emergency", count: 150 }, { label: "None", count: 0 }],
        remaining: { label: "Eligible", count: remaining },
      }],
      groups: [{ label: "Repair", count: 600 }, { label: "Replacement", count: 450 }],
    });
  const figure = flow(1050);
  assert.deepEqual(textsOf(figure.svg, "count").map((t) => t.text), [
    "1,200",
    "1,050",
    "600",
    "450",
  ]);
  assert.deepEqual(textsOf(figure.svg, "count-excluded").map((t) => t.text), ["150"]);
  assert.throws(() => flow(1051), /steps\.remaining\[0\] must be 1200 less 150, got 1051/);
});

Deno.test("forestFigure() puts halving and doubling equally far from no effect", () => {
  const row = (estimate: number) => ({
    label: `Ratio ${estimate}`,
    estimate,
    lower: estimate / 1.1,
    upper: estimate * 1.1,
  });
  const figure = forestFigure({
    ...words,
    scale: "ratio",
    axisLabel: "Hazard ratio",
    sections: [{ rows: [row(0.5), row(1), row(2)] }],
    domain: [0.25, 4],
  });
  const marks = readSvg(figure.svg).filter((e) => e.part === "estimate" && e.name === "circle");
  const [half, one, two] = marks.map((e) => Number(e.attribute("cx")));
  assert.ok(Math.abs((one! - half!) - (two! - one!)) < 0.01);
  assert.deepEqual(textsOf(figure.svg, "x-axis").map((t) => t.text), [
    "0.25",
    "0.5",
    "1",
    "2",
    "4",
  ]);
  assert.deepEqual(textsOf(figure.svg, "effect").slice(0, 2).map((t) => t.text), [
    "0.50",
    "0.45 to 0.55",
  ]);
});

Deno.test("forestFigure() sets risks left of the marks and numbers right of them, in columns", () => {
  const row = (label: string, risks: string[]) => ({
    label,
    estimate: 0.1,
    lower: 0.05,
    upper: 0.15,
    risks,
  });
  const figure = (groups: string[]) =>
    forestFigure({
      ...words,
      scale: "difference",
      axisLabel: "Difference, per 100",
      groups,
      overall: row("All", ["22.0%", "12.0%"]),
      sections: [{ rows: [row("Some", ["9.0%", "< 4.1%"])] }],
    });
  const { svg } = figure(["Repair", "Replacement"]);
  const [frame] = readSvg(svg).flatMap((e) => e.attribute("data-frame") ?? []);
  const [left, , right] = frame!.split(" ").map(Number);
  const risks = textsOf(svg, "risk");
  assert.deepEqual(risks.map((t) => t.text), ["22.0%", "12.0%", "9.0%", "< 4.1%"]);
  assert.equal(risks[0]!.x, risks[2]!.x);
  assert.equal(risks[1]!.x, risks[3]!.x);
  assert.ok(risks.every(({ x }) => x < left!));
  const effects = textsOf(svg, "effect");
  assert.equal(new Set(effects.map(({ x }) => x)).size, 1);
  assert.ok(effects.every(({ x }) => x > right!));
  assert.throws(() => figure(["Repair"]), /rows\.risks\[0\] must be one of each of 1 groups/);
});

Deno.test("forestFigure() ends limits that leave the scale in an arrow", () => {
  const figure = forestFigure({
    ...words,
    scale: "ratio",
    axisLabel: "Hazard ratio",
    sections: [{ rows: [{ label: "Few", estimate: 1, lower: 0.01, upper: Infinity }] }],
  });
  assert.equal(
    readSvg(figure.svg).filter((e) => e.part === "beyond" && e.name === "path").length,
    2,
  );
  assert.throws(
    () =>
      forestFigure({
        ...words,
        scale: "ratio",
        axisLabel: "Hazard ratio",
        sections: [{ rows: [{ label: "Odd", estimate: 3, lower: 1, upper: 2 }] }],
      }),
    /rows\.estimate\[0\] must be from 1 to 2, got 3/,
  );
});

Deno.test("stackedStatesFigure() fills the frame and refuses shares that do not", () => {
  const figure = (died: number) =>
    stackedStatesFigure({
      ...words,
      states: ["Alive", "Died"],
      groups: [{ label: "Repair", time: [1, 5], occupancy: [[0.9, 0.8], [0.1, died]] }],
      horizon: 5,
    });
  const [frame] = readSvg(figure(0.2).svg).flatMap((e) => e.attribute("data-frame") ?? []);
  const [, top] = frame!.split(" ");
  const paths = readSvg(figure(0.2).svg).filter((e) => e.part === "state" && e.name === "path");
  assert.equal(paths.length, 2);
  // the upper area reaches the top of the frame
  assert.ok(paths[1]!.attribute("d")!.includes(`,${top}`));
  assert.throws(() => figure(0.3), /shares that sum to 1/);
});

Deno.test("gradeFigure() leaves visits of too few empty and says so", () => {
  const figure = gradeFigure({
    ...words,
    grades: ["None", "Some"],
    groups: [{
      label: "Repair",
      visits: [
        { label: "Exit", n: 40, proportions: [0.75, 0.25] },
        { label: "1 y", n: 4, proportions: [0.5, 0.5] },
        { label: "2 y", n: 3, proportions: [NaN, NaN] },
      ],
    }],
  });
  assert.equal(
    readSvg(figure.svg).filter((e) => e.part === "grade" && e.name === "rect").length,
    2,
  );
  assert.deepEqual(textsOf(figure.svg, "count").map((t) => t.text), ["40", "<11", "<11"]);
  assert.match(figure.caption, /fewer than 11/);
  assert.match(figure.alt, /1 y: left empty/);
});

Deno.test("gradeFigure() writes whole percents, and joined grades under their own names", () => {
  const figure = gradeFigure({
    ...words,
    grades: ["None", "Some", "Much"],
    groups: [{
      label: "Repair",
      grades: [{ label: "None", from: 0 }, { label: "Some or worse", from: 1 }],
      visits: [
        { label: "Exit", n: 200, proportions: [0.702, 0.298] },
        { label: "1 y", n: 90, proportions: [NaN, NaN], leftEmpty: "nobody came" },
      ],
    }],
  });
  assert.deepEqual(textsOf(figure.svg, "share").map((t) => t.text), ["70%", "30%"]);
  assert.match(figure.alt, /None 70%, Some or worse 30%.*1 y: left empty/);
  assert.match(figure.caption, /joined.*Left empty where nobody came/);
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
