import assert from "node:assert/strict";
import { numberAtRisk } from "../../lib/figures/drawing/steps.ts";
import { survivalFigure } from "../../lib/figures/over-time/survival-figure.ts";
import { DataError } from "../../lib/numerics/columns/errors.ts";
import { inventedSurvival } from "./examples/invented.ts";
import { readSvg, textsOf } from "./drawing/read-svg.ts";
import { five, repair } from "./two-curves.ts";

const replacement = inventedSurvival({ n: 398, rate: 0.085, seed: 2 });

function twoGroups(horizon: number, atRiskTimes?: number[]) {
  return survivalFigure({
    id: "two",
    title: "Two groups",
    groups: [{ label: "Repair", curve: repair }, { label: "Replacement", curve: replacement }],
    horizon,
    atRiskTimes,
  });
}

Deno.test("survivalFigure() puts each number at risk under its tick", () => {
  for (const figure of [twoGroups(10), twoGroups(7.5, [0, 0.5, 1, 3, 7.5])]) {
    const ticks = textsOf(figure.svg, "x-axis");
    const counts = textsOf(figure.svg, "risk-count");
    assert.equal(counts.length, 2 * ticks.length);
    counts.forEach((count, k) => {
      const tick = ticks[k % ticks.length]!;
      assert.ok(Math.abs(count.x - tick.x) <= 0.01, `${count.x} under ${tick.x}`);
      assert.ok(count.y >= tick.y);
    });
  }
});

Deno.test("survivalFigure() prints the numbers at risk of the estimate", () => {
  const figure = survivalFigure({
    id: "five",
    title: "Five patients",
    groups: [{ label: "Repair", curve: five }],
    horizon: 5,
    atRiskTimes: [0, 1, 2, 3, 4, 5],
  });
  // by hand: at risk just before each tick
  assert.deepEqual(textsOf(figure.svg, "risk-count").map((t) => t.text), [
    "5",
    "5",
    "4",
    "2",
    "1",
    "1",
  ]);
});

Deno.test("numberAtRisk() counts equal times as equal whatever their last digit", () => {
  const curve = { time: [0.1 + 0.2, 5], estimate: [0.9, 0.8], atRisk: [10, 4] };
  assert.deepEqual(numberAtRisk(curve, [0.3, 0.31, 5, 5.1]), [10, 4, 4, 0]);
});

Deno.test("survivalFigure() prints small counts only as a bound", () => {
  const figure = survivalFigure({
    id: "small",
    title: "Small counts",
    groups: [{ label: "Repair", curve: five }],
    horizon: 5,
    atRiskTimes: [0, 3],
    smallestCell: 5,
  });
  assert.deepEqual(textsOf(figure.svg, "risk-count").map((t) => t.text), ["5", "<5"]);
});

Deno.test("survivalFigure() bounds what another endpoint's number at risk would leave few of", () => {
  const time = [1, 2, 3];
  const figure = survivalFigure({
    id: "within",
    title: "Within",
    groups: [{
      label: "Repair",
      curve: { time, survival: [0.9, 0.8, 0.7], atRisk: [1370, 1200, 30] },
      within: [{ time, atRisk: [1374, 1250, 45] }, { time, atRisk: [1374, 1205, 30] }],
    }],
    horizon: 3,
    atRiskTimes: [1, 2, 3],
    smallestCell: 11,
  });
  // by hand: 4 fewer than 1,374; 5 fewer than the second 1,205; 15 fewer than 45, and as many as 30
  assert.deepEqual(textsOf(figure.svg, "risk-count").map((t) => t.text), [
    ">1,363",
    ">1,194",
    "30",
  ]);
});

Deno.test("drawings place curves to a tenth of a unit, too coarse to count who is at risk", () => {
  const figure = survivalFigure({
    id: "coarse",
    title: "Coarse",
    groups: [{ label: "Repair", curve: five }],
    horizon: 5,
  });
  const paths = [...figure.svg.matchAll(/ d="([^"]*)"/g)].map(([, d]) => d!);
  assert.ok(paths.some((d) => /\.\d/.test(d)));
  for (const d of paths) assert.doesNotMatch(d, /\.\d\d/);
});

Deno.test("survivalFigure() prints the counts it is given in place of its own", () => {
  const figure = survivalFigure({
    id: "weighted",
    title: "Weighted",
    groups: [{ label: "Repair", curve: five, atRisk: [812.4, 1203.6] }],
    horizon: 5,
    atRiskTimes: [0, 3],
  });
  assert.deepEqual(textsOf(figure.svg, "risk-count").map((t) => t.text), ["812", "1,204"]);
});

Deno.test("survivalFigure() draws the faint part thinner and names it in the caption", () => {
  const few = inventedSurvival({ n: 30, rate: 0.1, seed: 5 });
  const figure = survivalFigure({
    id: "few",
    title: "Few",
    groups: [{ label: "Repair", curve: few }],
    horizon: 12,
    smallestAtRisk: 10,
  });
  const width = (part: string) =>
    readSvg(figure.svg).filter((e) => e.part === part && e.attribute("stroke-width"))
      .map((e) => Number(e.attribute("stroke-width")))[0]!;
  assert.ok(width("curve-faint") < width("curve") / 1.5);
  assert.match(figure.caption, /fewer than 10 remain at risk/);
  assert.equal(textsOf(figure.svg, "curve-value").length, 0, "no value written for few patients");
});

Deno.test("survivalFigure() keeps the names of curves apart and inside the drawing", () => {
  const figure = survivalFigure({
    id: "close",
    title: "Curves that end together",
    groups: ["Repair", "Replacement", "A third group", "A fourth"].map((label, k) => ({
      label,
      curve: inventedSurvival({ n: 500, rate: 0.08 + 0.0005 * k, seed: 40 + k }),
    })),
    horizon: 10,
  });
  const labels = textsOf(figure.svg, "curve-label").sort((a, b) => a.y - b.y);
  assert.equal(labels.length, 4);
  for (let k = 1; k < labels.length; k++) assert.ok(labels[k]!.y - labels[k - 1]!.y >= 36);
});

Deno.test("survivalFigure() stands the difference on the same time axis", () => {
  const figure = survivalFigure({
    id: "difference",
    title: "With the difference",
    groups: [{ label: "Repair", curve: repair }, { label: "Replacement", curve: replacement }],
    horizon: 10,
    difference: { curve: { time: [2, 6], estimate: [0.03, -0.02] } },
  });
  const ticks = textsOf(figure.svg, "x-axis");
  const half = ticks.length / 2;
  for (let k = 0; k < half; k++) assert.equal(ticks[k]!.x, ticks[k + half]!.x);
});

Deno.test("survivalFigure() refuses what it cannot draw", () => {
  const figure = (curve: typeof five, more = {}) =>
    survivalFigure({
      id: "bad",
      title: "Bad",
      groups: [{ label: "Repair", curve }],
      horizon: 5,
      ...more,
    });
  assert.throws(
    () => figure({ ...five, time: [1, 3, 2, 5] }),
    /curve\.time\[2\] must be ascending/,
  );
  assert.throws(() => figure({ ...five, survival: [0.8, NaN, 0.4, 0] }), DataError);
  assert.throws(() => figure({ ...five, upper: [1] }), /curve\.upper must be of length 4/);
  assert.throws(() => figure(five, { horizon: 0 }), /horizon/);
  assert.throws(() => figure(five, { atRiskTimes: [0, 6] }), /atRiskTimes\[1\]/);
  assert.throws(() => figure(five, { id: "Not an id" }), /figure id/);
  assert.throws(() => figure(five, { groups: [] }), DataError);
});

Deno.test("survivalFigure() leaves its input as it was", () => {
  const before = JSON.stringify(
    repair,
    (_, v) => ArrayBuffer.isView(v) ? [...v as Float64Array] : v,
  );
  twoGroups(10);
  const after = JSON.stringify(
    repair,
    (_, v) => ArrayBuffer.isView(v) ? [...v as Float64Array] : v,
  );
  assert.equal(after, before);
});
