import assert from "node:assert/strict";
import { cumulativeIncidence } from "../../lib/competing/mod.ts";
import { incidenceFigure } from "../../lib/figures/over-time/incidence-figure.ts";
import { survivalFigure } from "../../lib/figures/over-time/survival-figure.ts";
import { SeededRandom } from "../../lib/numerics/replicates/random.ts";
import { kaplanMeier } from "../../lib/survival/mod.ts";
import { checkWellFormed, textsOf } from "./drawing/read-svg.ts";

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
