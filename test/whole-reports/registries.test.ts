import { deepEqual, equal, ok } from "node:assert/strict";
import { parse } from "csv-parse/sync";
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
// generator has for everybody (data-demo/truth.json, from 900,000 drawn patients), in the
// population that the drafted plan asks about. Their files are drawn anew for each test,
// with fixed seeds.

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
    deepEqual([validation.counts.structural, validation.counts.error], [0, 0]);
    const out = join(dirname(study), "out");
    const { model } = await buildReport({ study, out, typeCheck: false });
    // what `validate` passes, the report can do
    deepEqual(model.failures.map(describeFailure), []);
    deepEqual(contradictions(readSaid(out)), []);
    await sameCounts(out, registry);
    const { findings }: { findings: Finding[] } = JSON.parse(
      await Deno.readTextFile(join(out, "findings.json")),
    );
    const lines = asked.map(([id, quantity]) => {
      const finding = findings.find((one) => one.id === id);
      ok(finding, id);
      equal(finding.estimand, "overlap");
      const place = truth.horizons.indexOf(finding.horizon);
      const { estimate } = truth.populations.overlap[quantity].difference[place];
      return { id, truth: estimate, found: finding.difference };
    });
    console.log(`${what}: ${patients.length} patients, ${talk.given} answers`);
    for (const { id, truth, found } of lines) {
      console.log(
        `  ${id}: true ${truth}, found ${found.estimate} (${found.lower} to ${found.upper})`,
      );
    }
    deepEqual(lines.filter(({ truth, found }) => truth < found.lower || truth > found.upper), []);
  });
}

/**
 * Each patient whom the drawn plan leaves out is listed once with the reason, and nobody else is.
 */
async function sameCounts(out: string, { patients }: Registry): Promise<void> {
  const listed: Record<string, string>[] = parse(
    await Deno.readTextFile(join(out, "excluded.csv")),
    { columns: true },
  );
  const steps = patients.flatMap(({ ie_active, aetiology, urgency, redo }) =>
    ie_active === 1
      ? ["ie-active"]
      : aetiology === "endocarditis" || aetiology === "other"
      ? ["aetiology"]
      : urgency === "salvage"
      ? ["urgency"]
      : redo === 1
      ? ["redo"]
      : []
  );
  const counts = (all: readonly (string | undefined)[]) =>
    Object.fromEntries(
      [...Map.groupBy(all, (one) => one)].map(([one, { length }]) => [one, length]),
    );
  // no visit and no cell is left out
  deepEqual(counts(listed.map((row) => row["left out"])), { patient: steps.length });
  deepEqual(counts(listed.map(({ step }) => step)), counts(steps));
  equal(new Set(listed.map(({ patient }) => patient)).size, steps.length);
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
