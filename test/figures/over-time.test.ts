import assert from "node:assert/strict";
import { gradeFigure } from "../../lib/figures/over-time/grade-figure.ts";
import { stackedStatesFigure } from "../../lib/figures/over-time/stacked-states-figure.ts";
import { datingFigure } from "../../lib/figures/over-time/dating-figure.ts";
import { visitFigure } from "../../lib/figures/over-time/visit-figure.ts";
import { DataError } from "../../lib/numerics/columns/errors.ts";
import { readSvg, textsOf } from "./drawing/read-svg.ts";
import { words } from "./titles.ts";

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
  // the extremes are no limits of the estimate, and are not said to be
  assert.match(
    figure.caption,
    /each end is fitted by itself, so the estimate may lie a little outside/,
  );
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
