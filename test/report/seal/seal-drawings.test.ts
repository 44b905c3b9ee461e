import assert from "node:assert/strict";
import { propensityFigure } from "../../../lib/figures/mod.ts";
import type { CellOutput } from "../../../lib/report/notebooks/mod.ts";
import { completeness, flow, number, seal, shown, text } from "./sealed.ts";

function drawn(id: string, svg: string): CellOutput {
  return {
    type: "result",
    bundle: { "image/svg+xml": svg },
    item: { kind: "figure", id, title: id, caption: "", alt: id, svg },
  };
}
const percent = (key: string, label: string) => ({ key, label, kind: "percent" as const });

/** A drawing of one frame, 100 units high, as the project writes them but for its rounding. */
const frame = (spans: string, inner: string, alt = "") =>
  `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 200"><desc>${alt}</desc>` +
  `<g data-frame="0 0 100 100" data-spans="${spans}">${inner}</g></svg>`;

Deno.test("sealRuns() finds a hidden count from the points of a calibration figure less a table", () => {
  const marks = (low: (number | null)[]) =>
    shown({
      id: "warning-marks",
      title: "Marks",
      caption: "",
      columns: [text("arm", "Group"), text("marks", "Marks"), number("n", "Patients"), {
        ...percent("low", "Low after"),
      }],
      rows: [100, 60, 40].map((n, k) => ({
        arm: "Repair",
        marks: `${k}`,
        n,
        low: low[k] ?? null,
      })),
    });
  const change = shown({
    id: "ventricle-change",
    title: "Change",
    caption: "",
    columns: [text("group", "Group"), number("n", "Patients")],
    rows: [{ group: "Repair", n: 200 }],
  });
  // 21 of 90 and 43 of 110 patients had it; the table shows 30 of 60 and 30 of 40, and hides
  // 4 of 100
  const points = (...shares: number[]) =>
    drawn(
      "ventricle-calibration",
      frame(
        "0 1 0 1",
        shares.map((share) =>
          `<circle data-part="point" cx="1" cy="${Number((100 - 100 * share).toFixed(3))}" r="5"/>`
        ).join(""),
        "observed 23% of 90; observed 39% of 110",
      ),
    );
  const told = [flow(600), completeness, marks([null, 0.5, 0.75]), change];
  const leak = seal(...told, points(21 / 90, 43 / 110));
  assert.deepEqual(leak.proof.pinned, []);
  assert.equal(leak.proof.withheld.length, 1);
  // in whole per cent, as the project draws it, so few patients are told exactly too
  const whole = seal(...told, points(0.23, 0.39));
  assert.deepEqual([whole.proof.pinned, whole.proof.withheld.length], [[], 1]);
});

Deno.test("sealRuns() finds those who left theatre with a leak from the first step of a curve", () => {
  const leaks = shown({
    id: "not-at-risk",
    title: "Not at risk",
    caption: "",
    columns: [
      text("reason", "Reason"),
      text("repair", "Repair"),
      text("replacement", "Replacement"),
    ],
    rows: [{ reason: "leak", repair: "< 11", replacement: 0 }],
  });
  const size = 400;
  const curve = (digits: number) => {
    const up = (100 / 0.05) / (size - 7);
    const path = (height: number) =>
      `<path data-part="curve" d="M0,100L1,100L1,${(100 - height).toFixed(digits)}"/>`;
    return drawn("recurrence-whole", frame("0 10 0 0.05", path(up) + path(10)));
  };
  const leak = seal(flow(600), completeness, leaks, curve(4));
  assert.ok(leak.proof.withheld.includes("figure recurrence-whole"));
  assert.match(JSON.stringify(leak.outputs.at(-1)), /is withheld: read together with the tables/);
  assert.ok(!JSON.stringify(leak.outputs).includes("M0,100"));
  // drawn to a tenth of a unit the step leaves more than twenty possible
  assert.deepEqual(seal(flow(600), completeness, leaks, curve(1)).proof.withheld, []);
});

Deno.test("sealRuns() finds the unmatched in the bars of the overlap figure", () => {
  const bars = (part: number) =>
    frame(
      "0 1 -50 50",
      `<rect data-part="bars" x="0" y="20" width="10" height="30"/>` +
        `<rect data-part="bars-part" x="0" y="${50 - part}" width="10" height="${part}"/>`,
    );
  assert.deepEqual(seal(flow(600), drawn("propensity", bars(28))).proof.withheld, [
    "figure propensity",
  ]);
  for (const part of [30, 15]) {
    assert.deepEqual(seal(flow(600), drawn("propensity", bars(part))).proof.withheld, []);
  }
  // as the project draws it: 40 with a partner and 3 without in every bar
  const score = Array.from({ length: 430 }, (_, k) => 0.05 + 0.1 * Math.floor(k / 43));
  const matched = score.filter((_, k) => k % 43 < 40);
  const figure = propensityFigure({
    id: "propensity",
    title: "Overlap",
    groups: [{ label: "Repair", score, matched }, { label: "Replacement", score, matched }],
    smallestCell: 11,
  });
  const { proof } = seal(flow(600), drawn("propensity", figure.svg));
  assert.deepEqual([proof.withheld, proof.pinned], [[], []]);
  assert.ok(proof.counts > 10);
});
