import assert from "node:assert/strict";
import { sealRuns } from "../../../lib/report/seal/mod.ts";
import { table } from "../../../lib/report/show/mod.ts";
import { propensityFigure } from "../../../lib/figures/mod.ts";
import type { TableInput } from "../../../lib/report/items/mod.ts";
import type { CellOutput, NotebookRun } from "../../../lib/report/notebooks/mod.ts";

// Each leak was once found in a report, or could have been; invented numbers, by hand.

const study = {
  smallestCell: 11,
  groups: { by: "intended" as const, repair: "Repair", replacement: "Replacement" },
  populations: [],
};

const hook = Symbol.for("Jupyter.display") as never;

function shown(input: TableInput): CellOutput {
  const made = table(input);
  const bundle = made[hook] as () => Record<string, unknown>;
  return {
    type: "result",
    bundle: bundle(),
    item: { kind: "table", ...structuredClone(JSON.parse(JSON.stringify({ ...made }))) },
  };
}

function drawn(id: string, svg: string): CellOutput {
  return {
    type: "result",
    bundle: { "image/svg+xml": svg },
    item: { kind: "figure", id, title: id, caption: "", alt: id, svg },
  };
}

function seal(...outputs: CellOutput[]) {
  const run: NotebookRun = {
    notebook: { id: "01-a", cells: [], metadata: {}, minor: 5 } as never,
    outputs: [outputs],
    failure: undefined,
    seconds: { start: 0, total: 0, cells: [] },
  };
  const sealed = sealRuns([run], study);
  return { ...sealed, outputs: sealed.runs[0]!.outputs[0]!, run };
}

const number = (key: string, label: string) => ({ key, label, kind: "number" as const });
const text = (key: string, label: string) => ({ key, label, kind: "text" as const });
const percent = (key: string, label: string) => ({ key, label, kind: "percent" as const });

const completeness = shown({
  id: "completeness",
  title: "Completeness",
  caption: "",
  columns: [text("arm", "Group"), number("patients", "Patients")],
  rows: [{ arm: "Repair", patients: 400 }, { arm: "Replacement", patients: 200 }],
});
const flow = (everybody: number) =>
  shown({
    id: "flow-table",
    title: "Flow",
    caption: "",
    columns: [
      text("step", "Step"),
      number("excluded", "Excluded"),
      number("remaining", "Patients"),
    ],
    rows: [
      { step: "In the file", excluded: null, remaining: everybody + 40 },
      { step: "Excluded: age", excluded: 40, remaining: everybody },
      { step: "Repair", excluded: null, remaining: 400 },
      { step: "Replacement", excluded: null, remaining: everybody - 400 },
    ],
  });

/** A drawing of one frame, 100 units high, as the project writes them but for its rounding. */
const frame = (spans: string, inner: string, alt = "") =>
  `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 200 200"><desc>${alt}</desc>` +
  `<g data-frame="0 0 100 100" data-spans="${spans}">${inner}</g></svg>`;

Deno.test("sealRuns() leaves alone what tells of nobody, and proves it", () => {
  const { proof, runs, run } = seal(flow(600), completeness);
  assert.deepEqual(runs, [run]);
  assert.deepEqual([proof.withheld, proof.pinned, proof.undecided], [[], [], []]);
  assert.equal(proof.fewestValues, 5);
  for (const values of Object.values(proof.possibleValues)) assert.ok(values >= 5);
});

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
  // 21 of 90 and 43 of 110 patients had it; the table shows 30 of 60 and 30 of 40, and hides 4 of 100
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

Deno.test("person-time of two severities tells no day: it is written in whole years", () => {
  const made = table({
    id: "linearised-rates",
    title: "Rates",
    caption: "",
    columns: [
      text("event", "Event"),
      { ...number("exposure", "Late patient-years"), digits: 0 },
      { ...number("rate", "Late rate"), unit: "per 100 patient-years", digits: 2 },
    ],
    rows: [
      { event: "2+", exposure: 2806.0862422997966, rate: 0.35637850467 },
      { event: "3+", exposure: 2806.1293634496938, rate: 0.32073713 },
    ],
  });
  assert.deepEqual(made.rows.map(({ exposure, rate }) => [exposure, rate]), [
    [2806, 0.36],
    [2806, 0.32],
  ]);
});

Deno.test("sealRuns() finds a hidden number of events from a rate and its patient-years", () => {
  const rates = shown({
    id: "linearised-rates",
    title: "Rates",
    caption: "",
    columns: [
      text("event", "Event"),
      text("group", "Group"),
      number("early", "Early events"),
      text("late", "Late events"),
      { ...number("exposure", "Late patient-years"), digits: 0 },
      { ...number("rate", "Late rate"), unit: "per 100 patient-years", digits: 2 },
    ],
    rows: [{
      event: "Mitral reintervention, any",
      group: "Repair",
      early: 0,
      late: "< 11",
      exposure: 612,
      rate: 1.14,
    }],
  });
  const { proof, outputs } = seal(flow(600), completeness, rates);
  assert.deepEqual(proof.pinned, []);
  assert.deepEqual(proof.withheld, ["linearised-rates, row 1, rate"]);
  const html = JSON.stringify(outputs.at(-1));
  assert.ok(!html.includes("1.14") && html.includes("612"), html);
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

Deno.test("sealRuns() finds a population that leaves out a few", () => {
  const grid = (patients: number) =>
    shown({
      id: "grid",
      title: "In which valves",
      caption: "",
      columns: [text("population", "Patients"), number("patients", "Number")],
      rows: [{ population: "Everyone", patients: 600 }, { population: "Degenerative", patients }],
    });
  const { proof, outputs } = seal(flow(600), completeness, grid(594));
  assert.deepEqual(proof.pinned, []);
  assert.deepEqual(proof.withheld, ["grid, row 2, patients"]);
  assert.ok(!JSON.stringify(outputs.at(-1)).includes("594"));
  assert.deepEqual(seal(flow(600), completeness, grid(480)).proof.withheld, []);
});

Deno.test("sealRuns() finds few in the sizes of a finding's groups", () => {
  const limits = { estimate: 0.8, lower: 0.7, upper: 0.9 };
  const item = {
    kind: "finding" as const,
    id: "death-degenerative",
    endpoint: "death" as const,
    population: { id: "degenerative", label: "Degenerative", main: false },
    quantity: "alive" as const,
    horizon: 5,
    design: "weighted" as const,
    estimand: "overlap" as const,
    groups: [{ label: "repair", ...limits, n: 394 }, { label: "replacement", ...limits, n: 150 }],
    difference: { estimate: 0, lower: -0.1, upper: 0.1 },
    tableId: "t",
    confidence: 0.95,
    smallestThatMatters: 0.05,
  };
  const shownFinding: CellOutput = {
    type: "result",
    bundle: { "text/plain": "Alike.", "application/vnd.mitral+json": item },
    item: item as never,
  };
  const { proof, outputs } = seal(flow(600), completeness, shownFinding);
  assert.deepEqual(proof.pinned, []);
  assert.deepEqual(proof.withheld, ["finding death-degenerative"]);
  assert.ok(!JSON.stringify(outputs.at(-1)).includes("394"));
});

Deno.test("sealRuns() supposes that a column of an unknown table is the sum of the others", () => {
  const unknown = shown({
    id: "my-own-table",
    title: "Own",
    caption: "",
    columns: [
      text("who", "Who"),
      number("patients", "Patients"),
      number("men", "Of patients, men"),
      number("women", "Of patients, women"),
    ],
    rows: [
      { who: "a", patients: 90, men: 50, women: 40 },
      { who: "b", patients: 60, men: 56, women: "< 11" },
    ],
  });
  const { proof } = seal(flow(600), unknown);
  assert.equal(proof.withheld.length, 1);
  assert.match(proof.withheld[0]!, /my-own-table, row 2/);
});

Deno.test("sealRuns() is quick: a hundred tables with twenty hidden counts each", () => {
  const many = Array.from({ length: 100 }, (_, k) =>
    shown({
      id: `table-${k}`,
      title: "T",
      caption: "",
      columns: [text("who", "Who"), ...["a", "b", "c", "d"].map((key) => number(key, "Patients"))],
      rows: Array.from({ length: 10 }, (_, i) => ({
        who: `${i}`,
        a: 100,
        b: 100 - 11 - i,
        c: "< 11",
        d: "< 11",
      })),
    }));
  const { proof } = seal(flow(600), ...many);
  assert.deepEqual(proof.pinned, []);
  assert.deepEqual(proof.undecided, []);
  assert.ok(proof.mayBeSmall >= 2000);
});
