import assert from "node:assert/strict";
import { join } from "node:path";
import {
  type NotebookRun,
  parseNotebook,
  runNotebooks,
} from "../../../lib/report/notebooks/mod.ts";
import { demoStudy, readableOfProject } from "../../../lib/report/sandbox/mod.ts";
import { makeNotebook } from "./make-notebook.ts";
import { processesIn } from "./processes-in.ts";

const open = [
  'import * as mitral from "mitral";',
  "const { analysis, study, asPlanned } = await mitral.openAnalysis();",
  'const death = mitral.followUpOf(analysis, "death");',
].join("\n");
const asks = [
  "const weighted = mitral.weightedSample(analysis, study);",
  "const compared = mitral.compareSurvival(mitral.underWeights(death, weighted), asPlanned);",
  "const answers = mitral.populationAnswers(analysis);",
  "const { propensity } = weighted;",
  "const modelled = mitral.modelledSurvival(analysis, { study, followUp: death, propensity });",
].join("\n");
const shows = [
  "const { groups } = compared;",
  "const told = { main: compared.main, curves: groups.map(({ curve }) => curve.survival) };",
  "const populations = answers.populations.map(({ design, endpoints }) => ({",
  "  score: design.score?.score, terms: design.score?.fit.terms, balance: design.balance,",
  "  columns: Object.keys(design.score?.design.covariates ?? {}),",
  "  endpoints: endpoints.map(({ contrasts, main }) => ({ contrasts, main })),",
  "}));",
  "JSON.stringify({ told, populations, modelled })",
].join("\n");

Deno.test("a plain notebook's answers are told, and a run that has them shows the same to the last figure", async () => {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const sources = {
      "plain": [open, asks, shows],
      // who writes into what was handed out might be answered otherwise
      "writes": [open, "for (const _ of [1]) analysis.treated.reverse();", asks],
    };
    const notebooks = Object.entries(sources).map(([id, cells]) =>
      parseNotebook(makeNotebook(cells), { id, folder })
    );
    const run = (before?: Uint8Array): Promise<NotebookRun[]> =>
      runNotebooks(notebooks, {
        files: { study: demoStudy },
        processes: processesIn(folder, [...readableOfProject, join(demoStudy, "..")]),
        folders: [],
        workFolder: folder,
        typeCheck: false,
        kept: {
          isKnown: () => Promise.resolve(false),
          find: () => Promise.resolve({}),
          keep: () => Promise.resolve(),
          answers: () => Promise.resolve(before),
        },
      });
    const [first, writes] = await run();
    assert.deepEqual([first?.failure, writes?.failure], [undefined, undefined]);
    assert.ok(first?.answers && first.answers.length > 1e5);
    assert.equal(writes?.answers, undefined);
    const [again, never] = await run(first.answers);
    assert.equal(again?.failure, undefined);
    assert.deepEqual(again?.outputs, first.outputs);
    assert.equal(again?.answers, undefined, "nothing was worked out anew");
    assert.equal(never?.answers, undefined);
    const seconds = ({ seconds }: NotebookRun) => seconds.cells[1] ?? NaN;
    console.log(`${seconds(first).toFixed(1)} s, then ${seconds(again!).toFixed(1)} s`);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
