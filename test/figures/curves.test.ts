import assert from "node:assert/strict";
import fc from "fast-check";
import { spread } from "../../lib/figures/drawing/letters.ts";
import { incidenceFigure } from "../../lib/figures/over-time/incidence-figure.ts";
import { numberAtRisk, stepDrawing } from "../../lib/figures/drawing/steps.ts";
import { survivalFigure } from "../../lib/figures/over-time/survival-figure.ts";
import { DataError } from "../../lib/numerics/columns/errors.ts";
import { inventedIncidence, inventedSurvival } from "./examples/invented.ts";
import { readSvg, textsOf } from "./drawing/read-svg.ts";
import { curveFigure } from "../../lib/figures/estimates/curve-figure.ts";

const repair = inventedSurvival({ n: 412, rate: 0.06, seed: 1 });
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

// By hand: five patients seen for 1, 2, 2, 3 and 5 years, all but the one at 3 years died.
const five = {
  time: [1, 2, 3, 5],
  survival: [0.8, 0.4, 0.4, 0],
  lower: [0.6, 0.2, 0.2, NaN],
  upper: [1, 0.7, 0.7, NaN],
  atRisk: [5, 4, 2, 1],
};

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

Deno.test("stepDrawing() turns faint where too few are left", () => {
  const curve = { ...five, estimate: five.survival };
  const drawn = stepDrawing(curve, { start: 1, horizon: 9, smallestAtRisk: 4 });
  // by hand: 4 are at risk up to the deaths at 2 years, 2 after them
  assert.equal(drawn.faintFrom, 2);
  assert.deepEqual(drawn.stretches.map(({ faint }) => faint), [false, true]);
  assert.deepEqual(drawn.stretches[0]!.points.map((p) => [p.time, p.estimate]), [
    [0, 1],
    [1, 0.8],
    [2, 0.4],
  ]);
  const stopped = stepDrawing(curve, {
    start: 1,
    horizon: 9,
    smallestAtRisk: 4,
    whereFew: "stop",
  });
  assert.equal(stopped.end.time, 2);
  assert.equal(stopped.faintFrom, undefined);
});

Deno.test("stepDrawing() ends at the last row seen, at the horizon, or stays at zero", () => {
  const curve = { ...five, estimate: five.survival };
  assert.equal(stepDrawing(curve, { start: 1, horizon: 4 }).end.time, 4);
  assert.equal(stepDrawing(curve, { start: 1, horizon: 4 }).end.estimate, 0.4);
  assert.deepEqual(stepDrawing(curve, { start: 1, horizon: 9 }).end.time, 9); // all died by 5
  const alive = { time: [1, 2], estimate: [0.9, 0.9], atRisk: [3, 1] };
  assert.equal(stepDrawing(alive, { start: 1, horizon: 9 }).end.time, 2);
});

Deno.test("stepDrawing() loses no height by leaving out steps too close to see", () => {
  const curve = { ...repair, estimate: repair.survival };
  const all = stepDrawing(curve, { start: 1, horizon: 10 });
  const thin = stepDrawing(curve, { start: 1, horizon: 10, resolution: 0.05 });
  assert.ok(thin.stretches[0]!.points.length < all.stretches[0]!.points.length / 2);
  const at = (points: { time: number; estimate: number }[], t: number) =>
    points.findLast((p) => p.time <= t)!.estimate;
  for (let t = 0; t <= 9; t += 0.25) {
    // the value within the resolution of this time
    const near = [at(all.stretches[0]!.points, t), at(all.stretches[0]!.points, t + 0.05)];
    const value = at(thin.stretches[0]!.points, t);
    assert.ok(value <= near[0]! && value >= near[1]!, `${value} not in ${near} at ${t}`);
  }
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

Deno.test("incidenceFigure() gives every cause a frame on one scale, and the numbers at risk once", () => {
  const groups = [
    { label: "Repair", curve: inventedIncidence({ n: 412, rate: 0.12, share: 0.5, seed: 3 }) },
    { label: "Replacement", curve: inventedIncidence({ n: 398, rate: 0.1, share: 0.1, seed: 4 }) },
  ];
  const causes = [{ cause: 1, label: "Recurrence" }, { cause: 2, label: "Death first" }];
  const figure = incidenceFigure({ id: "causes", title: "Causes", groups, causes, horizon: 10 });
  assert.deepEqual(textsOf(figure.svg, "heading").map((t) => t.text), [
    "Recurrence",
    "Death first",
  ]);
  const values = textsOf(figure.svg, "y-axis").map((t) => t.text);
  assert.deepEqual(values.slice(0, values.length / 2), values.slice(values.length / 2));
  assert.equal(textsOf(figure.svg, "risk-heading").length, 1);
  assert.throws(
    () => incidenceFigure({ ...figure, groups, causes: [{ cause: 3, label: "?" }], horizon: 10 }),
    /causes\.cause must be one of 1, 2, got 3/,
  );
});

Deno.test("incidenceFigure() fills each frame where each has a scale of its own", () => {
  const curve = inventedIncidence({ n: 412, rate: 0.12, share: 0.1, seed: 3 });
  const options = {
    id: "own",
    title: "Beside",
    groups: [{ label: "Repair", curve }],
    causes: [{ cause: 1, label: "Recurrence" }, { cause: 2, label: "Death first" }],
    horizon: 10,
  };
  const tops = (scales: "one" | "own") => {
    const { svg } = incidenceFigure({ ...options, scales });
    return textsOf(svg, "y-axis").map((t) => t.text).filter((text) => text.endsWith("%"));
  };
  const [shared] = tops("one");
  assert.deepEqual(tops("one"), [shared, shared]);
  const [own, other] = tops("own").map(parseFloat);
  assert.ok(own! < parseFloat(shared!) && other === parseFloat(shared!));
});

Deno.test("curves over time say only what is true of them", () => {
  const caption = (options: { smallestAtRisk?: number; horizon?: number }) =>
    survivalFigure({
      id: "c",
      title: "C",
      groups: [{ label: "Repair", curve: { time: [1, 2], survival: [0.9, 0.8], atRisk: [40, 8] } }],
      horizon: 2,
      smallestCell: 11,
      ...options,
    }).caption;
  assert.match(caption({}), /Thin and pale where fewer than 10.*stands as a bound.*fewer than 11/);
  assert.doesNotMatch(caption({ smallestAtRisk: 5 }), /Thin and pale/);
  assert.doesNotMatch(caption({ horizon: 1 }), /Thin and pale|bound/);
});

Deno.test("spread() keeps labels apart, in order and inside where there is room", () => {
  const label = fc.record({
    position: fc.double({ min: 0, max: 300, noNaN: true }),
    size: fc.double({ min: 1, max: 40, noNaN: true }),
  });
  fc.assert(
    fc.property(fc.array(label, { minLength: 1, maxLength: 6 }), (labels) => {
      const placed = spread(labels, [-10, 310]);
      const order = labels.map((_, k) => k).sort((a, b) => placed[a]! - placed[b]!);
      for (let k = 0; k < order.length; k++) {
        const here = order[k]!;
        const half = labels[here]!.size / 2;
        assert.ok(placed[here]! - half >= -10 - 1e-9 && placed[here]! + half <= 310 + 1e-9);
        if (k === 0) continue;
        const before = order[k - 1]!;
        const gap = placed[here]! - placed[before]!;
        assert.ok(gap >= half + labels[before]!.size / 2 - 1e-9);
        assert.ok(labels[before]!.position <= labels[here]!.position);
      }
    }),
    { seed: 7, numRuns: 200 },
  );
});

Deno.test("curveFigure() draws a curve beside another thin and in its colour", () => {
  const x = [0, 1];
  const { svg } = curveFigure({
    id: "beside",
    title: "Beside",
    xLabel: "x",
    yLabel: "y",
    format: "percent",
    curves: [
      { label: "Repair, corrected", role: "repair", x, estimate: [0, 0.05] },
      { label: "Replacement", role: "replacement", x, estimate: [0, 0.02] },
      { label: "Repair, as seen", role: "repair", beside: true, x, estimate: [0, 0.1] },
    ],
  });
  const lines = readSvg(svg).filter((e) => e.part === "curve");
  const drawn = (name: string) => lines.flatMap((e) => e.attribute(name) ?? []);
  const [corrected, , seen] = drawn("stroke");
  assert.equal(seen, corrected);
  const widths = drawn("stroke-width").map(Number);
  assert.ok(widths.at(-1)! < widths[0]!);
  assert.ok(textsOf(svg, "y-axis").every(({ text }) => /^\d+%$/.test(text)));
});
