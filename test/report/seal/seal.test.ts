import assert from "node:assert/strict";
import { table } from "../../../lib/report/show/mod.ts";
import type { CellOutput } from "../../../lib/report/notebooks/mod.ts";
import { completeness, flow, number, seal, shown, text } from "./sealed.ts";

Deno.test("sealRuns() leaves alone what tells of nobody, and proves it", () => {
  const { proof, runs, run } = seal(flow(600), completeness);
  assert.deepEqual(runs, [run]);
  assert.deepEqual([proof.withheld, proof.pinned, proof.undecided], [[], [], []]);
  assert.equal(proof.fewestValues, 5);
  for (const values of Object.values(proof.possibleValues)) assert.ok(values >= 5);
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
