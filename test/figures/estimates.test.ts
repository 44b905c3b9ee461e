import assert from "node:assert/strict";
import { cumulativeIncidence } from "../../lib/competing/mod.ts";
import { incidenceFigure } from "../../lib/figures/over-time/incidence-figure.ts";
import { survivalFigure } from "../../lib/figures/over-time/survival-figure.ts";
import { SeededRandom } from "../../lib/numerics/replicates/random.ts";
import { kaplanMeier } from "../../lib/survival/mod.ts";
import { funnelFigure } from "../../lib/figures/estimates/funnel-figure.ts";
import { pathsFigure } from "../../lib/figures/estimates/paths-figure.ts";
import { inventedPaths } from "./examples/invented.ts";
import { checkWellFormed, readSvg, textsOf } from "./drawing/read-svg.ts";
import { words } from "./titles.ts";

// Invented follow-up, seeded: what the estimators return is what the figures take.
function followUp(n: number, seed: number) {
  const random = new SeededRandom(seed);
  const rows = Array.from({ length: n }, () => {
    const [recurrence, death] = [random.exponential(0.05), random.exponential(0.06)];
    const seen = 12 * random.uniform();
    const time = Math.ceil(365 * Math.min(recurrence, death, seen)) / 365;
    return { time, event: seen < Math.min(recurrence, death) ? 0 : recurrence < death ? 1 : 2 };
  });
  return { time: rows.map(({ time }) => time), event: rows.map(({ event }) => event) };
}

const repair = followUp(300, 1);
const replacement = followUp(250, 2);
const ticks = [0, 2, 4, 6, 8, 10];

function stillSeen(time: number[]): string[] {
  return ticks.map((t) => String(time.filter((own) => own >= t).length));
}

Deno.test("survivalFigure() takes what kaplanMeier() returns, whose counts it prints", () => {
  const died = ({ time, event }: typeof repair) =>
    kaplanMeier({ time, event: event.map((e) => Number(e === 2)) });
  const figure = survivalFigure({
    id: "estimated",
    title: "Estimated",
    groups: [{ label: "Repair", curve: died(repair) }, {
      label: "Replacement",
      curve: died(replacement),
    }],
    horizon: 10,
    atRiskTimes: ticks,
  });
  checkWellFormed(figure.svg);
  // identity: at risk at t are those seen up to t or longer
  assert.deepEqual(textsOf(figure.svg, "risk-count").map((t) => t.text), [
    ...stillSeen(repair.time),
    ...stillSeen(replacement.time),
  ]);
});

Deno.test("incidenceFigure() takes what cumulativeIncidence() returns", () => {
  const figure = incidenceFigure({
    id: "estimated-causes",
    title: "Estimated",
    groups: [
      { label: "Repair", curve: cumulativeIncidence(repair) },
      { label: "Replacement", curve: cumulativeIncidence(replacement) },
    ],
    causes: [{ cause: 1, label: "Recurrence" }, { cause: 2, label: "Death before recurrence" }],
    horizon: 10,
    atRiskTimes: ticks,
  });
  checkWellFormed(figure.svg);
  assert.doesNotMatch(figure.svg, /NaN/);
  const rows = [...stillSeen(repair.time), ...stillSeen(replacement.time)];
  assert.deepEqual(textsOf(figure.svg, "risk-count").map((t) => t.text), rows);
});

Deno.test("funnelFigure() names lines beside their ends, and points on their side of each limit", () => {
  const n = Array.from({ length: 402 }, (_, k) => k + 10);
  const limit = (label: string, z: number) => ({
    label,
    n,
    lower: n.map((size) => 0.61 - z * Math.sqrt(0.61 * 0.39 / size)),
    upper: n.map((size) => 0.61 + z * Math.sqrt(0.61 * 0.39 / size)),
  });
  const limits = [limit("95%", 1.96), limit("99.8%", 3.09)];
  const points = [[388, 0.65], [270, 0.548], [60, 0.55]].map(([size, proportion], k) => ({
    label: `Surgeon ${k + 1}`,
    n: size!,
    proportion: proportion!,
    named: true,
  }));
  const { svg } = funnelFigure({ ...words, points, overall: 0.61, limits, yLabel: "Repaired" });
  const [frame] = readSvg(svg).flatMap((e) => e.attribute("data-frame") ?? []);
  const [, top = 0, , bottom = 0] = frame!.split(" ").map(Number);
  const [spans] = readSvg(svg).flatMap((e) => e.attribute("data-spans") ?? []);
  const high = Math.max(...spans!.split(" ").slice(2).map(Number));
  const height = (share: number) => top + (bottom - top) * (1 - share / high);
  const ends: [string, number][] = [
    ["99.8%", limits[1]!.upper.at(-1)!],
    ["95%", limits[0]!.upper.at(-1)!],
    ["Overall", 0.61],
  ];
  const texts = readSvg(svg).filter((e) => e.name === "text");
  for (const [name, share] of ends) {
    // names are placed by their upper edge, half a line above their middle
    const y = texts.find((e) => e.text === name)!.y + 9;
    const off = ends.map(([other, at]) => [other, Math.abs(y - height(at))] as const);
    const nearest = off.toSorted((a, b) => a[1] - b[1])[0]![0];
    assert.equal(nearest, name, `${name} at ${y}, its end at ${height(share)}`);
  }
  // within its limit is no room for the name of the first: a line leads to where it stands
  const drawn = readSvg(svg).filter((e) => e.part === "leader" && e.name === "path");
  const named = texts.find((e) => e.text === "Surgeon 1")!;
  const isBeyond = named.y < height(limits[0]!.upper.at(-1)!) - 9;
  assert.ok(!isBeyond || drawn.length > 0, `${named.y}`);
});

Deno.test("pathsFigure() says over how many completed sets the plan's own path is pooled", () => {
  const { caption, alt } = pathsFigure({ ...words, ...inventedPaths(12), sets: 5 });
  assert.match(caption, /pooled over 5 completed sets each: the plan's own may differ a little/);
  assert.match(alt, /The plan's own, over 5 completed sets: /);
  const without = pathsFigure({ ...words, ...inventedPaths(12) });
  assert.doesNotMatch(without.caption + without.alt, /completed/);
});
