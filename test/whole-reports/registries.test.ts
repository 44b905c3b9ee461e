import { deepEqual, equal, ok } from "node:assert/strict";
import { dirname, join } from "node:path";
import { buildReport } from "../../lib/report/build-report.ts";
import { describeFailure } from "../../lib/report/notebooks/notebook.ts";
import { validateStudy } from "../../lib/report/validate/mod.ts";
import { german, national, ofWorkbook, type PersonsAnswers } from "../registries/answers.ts";
import { takeRegistry } from "../registries/begin.ts";
import { germanRegistry, type Registry, workbookRegistry } from "../registries/invented.ts";
import { nationalRegistry } from "../registries/national-registry.ts";
import { contradictions, readSaid } from "../report/sentences/sentence-numbers.ts";

// Three invented registries, each from its raw export to a whole report. The truth is what the
// generator has for everybody (data-demo/truth.json, from 900,000 drawn patients), in the population
// that the drafted plan asks about. Their files are drawn anew for each test, with fixed seeds.

const truth = JSON.parse(
  await Deno.readTextFile(new URL("../../data-demo/truth.json", import.meta.url)),
).answers;

/** Findings of a report, and the generator's answer to the same question. */
const asked = [
  ["alive-weighted", "survival"],
  ["recurrence-weighted-finding", "recurrenceFound"],
  ["reoperation-finding", "reoperation"],
] as const;

interface Finding {
  id: string;
  horizon: number;
  estimand: string;
  difference: { estimate: number; lower: number; upper: number };
}

async function wholeReport(what: string, registry: Registry, persons: PersonsAnswers) {
  await takeRegistry(registry, persons, async ({ talk, copy }, study) => {
    const { patients, visits } = registry;
    // no row of the export is lost on the way to the clean copy
    deepEqual(copy.tables.map(({ rowsWritten }) => rowsWritten), [patients.length, visits.length]);
    const validation = await validateStudy({ study });
    equal(validation.counts.structural, 0);
    const out = join(dirname(study), "out");
    const { model } = await buildReport({ study, out, typeCheck: false });
    deepEqual(model.failures.map(describeFailure), []);
    deepEqual(contradictions(readSaid(out)), []);

    const { findings }: { findings: Finding[] } = JSON.parse(
      await Deno.readTextFile(join(out, "findings.json")),
    );
    const lines = asked.map(([id, quantity]) => {
      const finding = findings.find((one) => one.id === id);
      ok(finding, id);
      const place = truth.horizons.indexOf(finding.horizon);
      const { estimate } = truth.populations.overlap[quantity].difference[place];
      const { difference: found } = finding;
      const inside = estimate >= found.lower && estimate <= found.upper;
      return { id, inside, found, estimate };
    });
    console.log(`${what}: ${patients.length} patients, ${talk.given} answers`, lines);
    deepEqual(lines.filter(({ inside }) => !inside), []);
  });
}

Deno.test("a German CSV export becomes a whole report that finds what is true", async () => {
  await wholeReport("German export", germanRegistry(1600), german);
});

Deno.test("a workbook becomes a whole report that finds what is true", async () => {
  await wholeReport("Workbook", workbookRegistry(1200), ofWorkbook);
});

Deno.test("a national file becomes a whole report that finds what is true", async () => {
  await wholeReport("National file", nationalRegistry(), national);
});
