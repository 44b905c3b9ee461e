import assert from "node:assert/strict";
import { balanceFigure } from "../../lib/figures/patients/balance-figure.ts";
import { flowFigure } from "../../lib/figures/patients/flow-figure.ts";
import { propensityFigure } from "../../lib/figures/patients/propensity-figure.ts";
import { DataError } from "../../lib/numerics/columns/errors.ts";
import { readSvg, textsOf } from "./drawing/read-svg.ts";
import { words } from "./titles.ts";

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
