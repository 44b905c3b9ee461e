import assert from "node:assert/strict";
import { demoReport } from "../demo-report.ts";
import { contradictions, readSaid } from "../report/sentences/sentence-numbers.ts";
import { audit } from "./audit.ts";
import { type Published, readPublished } from "./published.ts";

// The report on few patients, where most is hidden, is audited in test/whole-reports/.
const report = demoReport();
const published = report.then(readPublished);

Deno.test("the report on the demonstration gives no small count away", async () => {
  const { tables, sentences, underAxes } = await published;
  // what the audit reads is there to be read
  assert.ok(tables.length > 40 && sentences.length > 60);
  assert.ok(underAxes.some(({ rows }) => rows.length > 0));
  const found = audit(await published);
  const remedy =
    "bound it where the item is made, as test/disclosure/rules.md says, and give a new " +
    "table of counts its line in lib/report/seal/meanings.ts";
  assert.deepEqual(found, [], `${found.join("\n")}\n${remedy}`);
});

Deno.test("what the demonstration's sentences say is what was found", async () => {
  const found = contradictions(readSaid(await report));
  const remedy =
    "a sentence of lib/report/ or a notebook has a number that no finding or table has";
  assert.deepEqual(found, [], `${found.join("\n")}\n${remedy}`);
});

type Plant = (published: Published) => void;

function cell(published: Published, table: string, at: number): Record<string, unknown> {
  const row = published.tables.find(({ id }) => id === table)?.rows[at];
  assert.ok(row, `${table} has a row ${at}`);
  return row;
}

// Each is a leak that a report once had, or could have; by hand.
const plants: [what: string, plant: Plant, found: RegExp][] = [
  [
    "a small count in a table",
    (p) => cell(p, "not-at-risk", 0).repair = 4,
    /not-at-risk.* is small/,
  ],
  ["a small count beside its share", (p) => {
    cell(p, "characteristics", 2)["before.repair"] = "7 (8%)";
  }, /characteristics.*7 is small/],
  [
    "a share with all its digits",
    (p) => cell(p, "two-quantities", 0).incidence = 1 / 34,
    /1 of 34/,
  ],
  ["a number per 100 with all its digits", (p) => {
    cell(p, "not-at-random", 0).lower = -100 / 34;
  }, /not-at-random.*more digits/],
  ["a share of a count that stands beside it", (p) => {
    Object.assign(cell(p, "warning-marks", 2), { n: 28, low: 0.107 });
  }, /warning-marks.*0.107 of 28 is 3/],
  ["patients measured beside those whose marks are known", (p) => {
    [30, 20, 40].forEach((n, i) => cell(p, "warning-marks", i).n = n);
    cell(p, "ventricle-change", 0).n = 93;
  }, /marked, group 1: 93 less 30,20,40/],
  ["a remainder of two numbers in a sentence", (p) => {
    p.sentences.push({ where: "04", text: "374 matched pairs; 371 of their patients at risk." });
  }, /differ by few/],
  ["few in a sentence", (p) => {
    p.sentences.push({ where: "03", text: "21 had died, 4 were no longer followed." });
  }, /tells of few/],
  ["a finding's number beside another's", (p) => {
    const finding = p.findings.find(({ endpoint }) => endpoint === "recurrence");
    const [first] = finding?.groups ?? [];
    assert.ok(first?.n);
    first.n -= 3;
  }, /finding 0: /],
  ["a number at risk in a table beside that of death", (p) => {
    const deaths = Number(cell(p, "survival-matched-table", 0).atRisk);
    cell(p, "recurrence-matched-table", 0).atRisk = deaths - 2;
  }, /matched 1 y 0/],
  ["a first number at risk under a figure", (p) => {
    const first = (figure: string) =>
      p.underAxes.find((one) => one.figure === figure && one.what === "at risk")?.rows[0];
    const [row, alive] = [first("recurrence-matched"), first("survival-matched")];
    assert.ok(row && alive);
    row[0] = String(Number(alive[0]) - 3);
  }, /matched tick 0/],
  ["a number followed beside the number graded", (p) => {
    const graded = p.underAxes.find(({ figure, what }) =>
      figure === "grades-looked-at" && what === "graded"
    )?.rows[0];
    assert.ok(graded);
    graded[1] = String(Number(cell(p, "grades-table", 1).followed) - 5);
  }, /followed at 0.5 y/],
  ["late deaths beside all deaths", (p) => {
    cell(p, "linearised-rates", 0).late = Number(cell(p, "observed-expected", 0).observed) - 1;
  }, /deaths, group 1/],
  ["a kind of event beside all kinds", (p) => {
    const rates = p.tables.find(({ id }) => id === "linearised-rates")?.rows ?? [];
    const kinds = rates.filter(({ event }) => /eintervention/.test(String(event)));
    kinds.filter((_, i) => i % 2 === 0).forEach((row, i) => row.late = [51, 42, "< 11"][i] ?? 0);
  }, /late reinterventions, group 1: 51 less 42/],
];

for (const [what, plant, found] of plants) {
  Deno.test(`audit() finds ${what}`, async () => {
    const planted = structuredClone(await published);
    plant(planted);
    assert.match(audit(planted).join("\n"), found);
  });
}
