import assert from "node:assert/strict";
import { armGroups, forestFigure } from "../../lib/figures/estimates/forest-figure.ts";
import { readSvg, textsOf } from "./drawing/read-svg.ts";
import fc from "fast-check";
import { words } from "./titles.ts";

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

Deno.test("forestFigure() has a number on each side of no effect that limits reach", () => {
  const share = fc.double({ min: -0.9, max: 0.9, noNaN: true });
  const width = fc.constantFrom(360, 480, 700);
  fc.assert(fc.property(share, share, width, (one, other, width) => {
    const [lower, upper] = [Math.min(one, other), Math.max(one, other)];
    if (upper - lower < 0.01) return;
    const { svg } = forestFigure({
      ...words,
      width,
      scale: "difference",
      axisLabel: "Difference, per 100",
      sections: [{ rows: [{ label: "Some", estimate: (lower + upper) / 2, lower, upper }] }],
    });
    const ticks = textsOf(svg, "x-axis");
    const numbers = ticks.map(({ text }) => Number(text.replace("\u2212", "-")));
    if (lower < 0) assert.ok(numbers.some((tick) => tick < 0), `${lower}: ${numbers}`);
    if (upper > 0) assert.ok(numbers.some((tick) => tick > 0), `${upper}: ${numbers}`);
    const places = ticks.map(({ x }) => x).sort((a, b) => a - b);
    assert.ok(places.every((x, k) => k === 0 || x - places[k - 1]! >= 26), `${places}`);
  }));
});

Deno.test("forestFigure() names each row to those that cannot see it with its section", () => {
  const row = (label: string) => ({ label, estimate: 0.1, lower: 0.05, upper: 0.15 });
  const { alt } = forestFigure({
    ...words,
    scale: "difference",
    axisLabel: "Difference, per 100",
    overall: row("All"),
    sections: [{ label: "End-diastolic diameter 65 mm or more", rows: [row("Yes"), row("No")] }],
  });
  assert.match(alt, /\. All: /);
  assert.match(alt, /End-diastolic diameter 65 mm or more, yes: .*65 mm or more, no: /);
});

Deno.test("forestFigure() draws arms that are no repairs and replacements in other colours", () => {
  const row = { label: "One", estimate: 0.1, lower: 0.05, upper: 0.15, risks: ["9.0%", "4.0%"] };
  const drawn = (groups: Parameters<typeof forestFigure>[0]["groups"]) =>
    forestFigure({
      ...words,
      scale: "difference",
      axisLabel: "Difference, per 100",
      ...(groups && { groups }),
      sections: [{ rows: [row] }],
    }).svg;
  const arms = drawn(armGroups);
  assert.match(arms, /fill-third/);
  assert.match(arms, /fill-fourth/);
  assert.doesNotMatch(arms, /fill-(repair|replacement)/);
  assert.match(drawn(["First arm", "Second arm"]), /fill-repair/);
});
