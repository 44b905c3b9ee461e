import { deepEqual, equal, match, ok } from "node:assert/strict";
import { populationAnswers } from "../../../lib/comparisons/mod.ts";
import { gridOf, ledgerOf, populationSections, valvesSentence } from "../../../lib/report/mod.ts";
import { onCut, type PlanJson } from "../../hostile/cut-cohort.ts";
import type {} from "../../demo-analysis.ts";

const emptied = (...columns: string[]) => (patients: Record<string, string>[]) =>
  patients.map((row) => ({ ...row, ...Object.fromEntries(columns.map((name) => [name, ""])) }));

Deno.test("a file without stay, gradient, stroke or visits says so in the ledger", async () => {
  await onCut({
    rows: (patients) => [emptied("los", "grad_exit", "stroke_30")(patients), []],
    plan: own,
  }, ({ analysis }) => {
    const cut = populationAnswers(analysis);
    const lines = ledgerOf(cut.populations[0]!);
    for (const id of ["stay", "high-gradient", "stroke-30", "weak-at-a-year"]) {
      equal(lines.find((line) => line.id === id)?.instead, "not in the file", id);
    }
    // an endpoint of the study's own joins, without code
    ok(lines.find(({ id }) => id === "dialysis")!.first! >= 0);
    match(valvesSentence(analysis, cut), /no grade of regurgitation after the hospital stay/);
  });
});

function own(plan: PlanJson): void {
  (plan.endpoints as unknown[]).push({
    id: "dialysis",
    label: "New dialysis, as this centre counts it",
    event: { column: "new_dialysis", oneOf: [1] },
    competing: ["death"],
    source: "invented",
  });
}

Deno.test("a plan of death alone, and a hundred patients, still have a grid and a ledger", async () => {
  const alone = (plan: PlanJson) => {
    plan.endpoints = [{ id: "death", label: "Death of any cause" }];
    delete plan.precision;
  };
  await onCut({ plan: alone }, ({ analysis }) => {
    const cut = populationAnswers(analysis);
    deepEqual([...new Set(gridOf(analysis, cut).map(({ endpoint }) => endpoint))], ["death"]);
    deepEqual(populationSections(cut, "valve-failure", analysis).sections, []);
    match(valvesSentence(analysis, cut), /no endpoint of the valve/);
    ok(ledgerOf(cut.populations[0]!).length > 10);
  });
  await onCut({ rows: (patients, visits) => [patients.slice(0, 100), visits] }, ({ analysis }) => {
    const cut = populationAnswers(analysis);
    for (const { first, verdict, why } of gridOf(analysis, cut)) {
      equal(first === null, verdict === "too-few");
      equal(first === null, why !== "");
    }
    match(valvesSentence(analysis, cut), /Too few|not settled/);
  });
});
