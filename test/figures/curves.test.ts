import assert from "node:assert/strict";
import fc from "fast-check";
import { spread } from "../../lib/figures/drawing/letters.ts";
import { incidenceFigure } from "../../lib/figures/over-time/incidence-figure.ts";
import { stepDrawing } from "../../lib/figures/drawing/steps.ts";
import { survivalFigure } from "../../lib/figures/over-time/survival-figure.ts";
import { inventedIncidence } from "./examples/invented.ts";
import { readSvg, textsOf } from "./drawing/read-svg.ts";
import { curveFigure } from "../../lib/figures/estimates/curve-figure.ts";
import { five, repair } from "./two-curves.ts";

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
