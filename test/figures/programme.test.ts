import assert from "node:assert/strict";
import {
  concentrationFigure,
  decisionFigure,
  funnelFigure,
  learningFigure,
  monitoringFigure,
  trendFigure,
} from "../../lib/figures/mod.ts";
import { funnelLimits } from "../../lib/programme/repair-rate/mod.ts";
import { programmeExamples } from "./examples/programme-examples.ts";
import { readSvg } from "./drawing/read-svg.ts";

const example = (id: string) => programmeExamples().find(({ figure }) => figure.id === id)!.figure;
const drawn = (id: string, part: string) =>
  readSvg(example(id).svg).filter((element) => element.part === part);

Deno.test("the learning figure writes out where the plateau may begin", () => {
  const { svg, alt, caption } = example("learning-conversion");
  assert.ok(svg.includes(">34<") && svg.includes(">71<"));
  assert.match(alt, /26% at 0, 6% at 236/);
  assert.match(alt, /Plateau from 52 operations, 34 to 71/);
  assert.match(caption, /where the plateau may begin/);
  // an open limit is not written, and said
  const open = example("learning-minutes");
  assert.ok(!open.svg.includes(">Infinity<"));
  assert.match(open.alt, /at least 34/);
});

Deno.test("the monitoring figure marks limits and signals, deterioration up, improvement down", () => {
  const { alt, svg } = example("monitoring");
  assert.match(alt, /Signal of deterioration at 2022\.5/);
  assert.equal(drawn("monitoring", "limit").filter((e) => e.name === "line").length, 2);
  assert.ok(svg.includes("Worse") && svg.includes("Better"));
  const oneSided = example("monitoring-one-side");
  assert.match(oneSided.alt, /No signal/);
  assert.ok(!oneSided.svg.includes("Better"));
  assert.throws(
    () =>
      monitoringFigure({
        id: "m",
        title: "M",
        at: [1, 2],
        excess: [0, 1],
        worse: { height: [0, 1], limit: 0 },
        xLabel: "x",
        events: "Events",
      }),
    /limit must be above 0/,
  );
});

Deno.test("lines of one figure differ in pattern, not in colour alone", () => {
  for (const id of ["monitoring", "marks-decision", "repair-rate-years"]) {
    const lines = drawn(id, "curve").filter((e) => e.name === "path" || e.attribute("stroke"));
    const patterns = new Set(
      lines.filter((e) => e.attribute("stroke")).map((e) => e.attribute("stroke-dasharray") ?? ""),
    );
    assert.ok(patterns.size >= 2, `${id}: ${[...patterns].join(", ")}`);
  }
});

Deno.test("the concentration figure says what a fifth of the patients makes", () => {
  assert.match(example("concentration").alt, /20(\.0)?% of patients: 41(\.\d)?%/);
});

Deno.test("the funnel marks who lies outside by shape, and draws a target", () => {
  const { caption, svg } = example("funnel-target");
  assert.match(caption, /Open squares/);
  assert.ok(svg.includes("Target 90%"));
});

// By hand: all that lie below an aim have names, close together. Letters of names are some 7 wide,
// 14 high.
Deno.test("the funnel writes no name over another where many lie close together", () => {
  const n = Float64Array.from({ length: 232 }, (_, k) => k + 10);
  const limit = (confidence: number, label: string) => ({
    label,
    n,
    ...funnelLimits({ target: 0.9, n, confidence }),
  });
  const places = [[228, 0.765], [199, 0.755], [148, 0.67], [125, 0.72], [95, 0.735], [66, 0.78], [
    45,
    0.73,
  ]] as const;
  const { svg } = funnelFigure({
    id: "crowded",
    title: "Crowded",
    overall: 0.9,
    yLabel: "Repaired",
    points: places.map(([n, proportion], k) => ({
      label: `Surgeon ${k + 1}`,
      n,
      proportion,
      named: true,
    })),
    limits: [limit(0.95, "95%"), limit(0.998, "99.8%")],
  });
  const labels = readSvg(svg).filter(({ part }) => part === "point-label");
  const anchors = labels.filter(({ name }) => name === "g")
    .map(({ attribute }) => attribute("text-anchor"));
  const names = labels.filter(({ name }) => name === "text").map(({ x, y, text }, k) => {
    const wide = 7 * text.length;
    const before = { start: 0, middle: 0.5, end: 1 }[anchors[k] ?? "middle"] ?? 0.5;
    return { left: x - before * wide, wide, y };
  });
  assert.equal(anchors.length, names.length);
  assert.equal(names.length, 7);
  names.forEach((one, k) => {
    for (const other of names.slice(k + 1)) {
      const apart = Math.abs(one.y - other.y) >= 14 || one.left + one.wide <= other.left ||
        other.left + other.wide <= one.left;
      assert.ok(apart, JSON.stringify([one, other]));
    }
  });
});

Deno.test("figures of the programme refuse columns that do not fit", () => {
  const base = { id: "x", title: "X", yLabel: "Y" };
  assert.throws(() =>
    learningFigure({
      ...base,
      curve: { experience: [0, 1], estimate: [0.1], lower: [0, 0], upper: [1, 1] },
    }), /curves\.estimate must be of length 2/);
  assert.throws(() =>
    trendFigure({
      ...base,
      years: [],
      fitted: { time: [2, 1], estimate: [0, 0], lower: [0, 0], upper: [0, 0] },
    }), /curves\.x\[1\] must be ascending/);
  assert.throws(
    () =>
      decisionFigure({ id: "d", title: "D", thresholds: [0.1], rules: [], all: [], xLabel: "x" }),
    /rules must be one to 3/,
  );
  assert.throws(() =>
    concentrationFigure({
      id: "c",
      title: "C",
      events: "events",
      curve: {
        patients: [0, 1],
        events: [0, NaN],
        lower: [0, 1],
        upper: [0, 1],
        at: () => ({ estimate: 0.5, lower: 0.4, upper: 0.6 }),
      },
    }), /curves\.estimate\[1\] must be finite/);
  assert.throws(
    () => funnelFigure({ id: "f", title: "F", points: [], overall: 0.5, limits: [], yLabel: "Y" }),
    /points/,
  );
});
