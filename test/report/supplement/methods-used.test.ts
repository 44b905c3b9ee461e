import assert from "node:assert/strict";
import * as mitral from "mitral";
import * as balance from "../../../lib/balance/mod.ts";
import * as competing from "../../../lib/competing/mod.ts";
import * as regression from "../../../lib/regression/mod.ts";
import * as sensitivity from "../../../lib/sensitivity/mod.ts";
import * as survival from "../../../lib/survival/mod.ts";
import { notebooksIn, readNotebooks } from "../../../lib/report/snapshot/mod.ts";
import { cellCode } from "../../../lib/report/cells/cell-code.ts";
import { methodsRegistry } from "../../../lib/report/methods/registry.ts";
import { methodsUsed, workText } from "../../../lib/report/methods/used.ts";
import { codeOf, parseNotebook } from "../../../lib/report/notebooks/notebook.ts";
import { fromFileUrl } from "../../../lib/report/sandbox/mod.ts";
import { references } from "../../../lib/report/methods/references.ts";
import { type CellSource, makeNotebook } from "../notebooks/make-notebook.ts";

function notebookOf(cells: readonly CellSource[]) {
  return parseNotebook(makeNotebook(cells), { id: "01-a", folder: "file:///nowhere/" });
}

function runOf(cells: readonly CellSource[], failedAt?: number) {
  const notebook = notebookOf(cells);
  const failure = failedAt === undefined
    ? undefined
    : { notebook: "01-a", cell: failedAt, stage: "running" as const, message: "" };
  return { notebook, outputs: [], failure, seconds: { start: 0, total: 0, cells: [] } };
}

Deno.test("every function of the methods registry is exported, every work is cited", () => {
  // identity
  const exported = new Set(Object.keys(mitral));
  const ids = methodsRegistry.map(({ id }) => id);
  assert.equal(new Set(ids).size, ids.length);
  for (const { id, functions, sources } of methodsRegistry) {
    const gone = functions.filter((name) => !exported.has(name));
    assert.deepEqual(gone, [], `method ${id} of lib/report/methods/ names what lib/mod.ts lacks`);
    assert.ok(sources.length > 0, `method ${id} of lib/report/methods/ cites no work`);
  }
  const cited = new Set(methodsRegistry.flatMap(({ sources }) => sources));
  const uncited = Object.keys(references).filter((key) => !cited.has(key as never));
  const what = "works that no method cites: name them under `sources` in lib/report/methods/, " +
    "or take them out of references.ts there";
  assert.deepEqual(uncited, [], `${what}: ${uncited.join(", ")}`);
});

Deno.test("every estimator that a notebook of the project calls has its sentence", async () => {
  // identity
  const described = new Set(methodsRegistry.flatMap(({ functions }) => functions));
  const estimators = new Set(
    [balance, competing, regression, sensitivity, survival].flatMap((stage) => Object.keys(stage)),
  );
  // these carry, name or read, and estimate nothing
  const helpers = new Set([
    "dividesBothGroups",
    "earlyResults",
    "soundTo",
    "whereLimitsHeld",
    "whatWasDone",
    "whereLimitsHeld",
    "estimandInWords",
    "readLifeTable",
    "unadjusted",
    "pairedFollowUp",
    "underMatching",
    "underWeights",
  ]);
  const { notebooks } = await readNotebooks(
    await notebooksIn(fromFileUrl(new URL("../../../notebooks", import.meta.url))),
  );
  const without = new Set(
    notebooks.flatMap((notebook) => cellCode(codeOf(notebook)).flatMap(({ library }) => library))
      .filter((name) => estimators.has(name) && !described.has(name) && !helpers.has(name)),
  );
  const what = "called by a notebook and without a sentence: add it to a method of " +
    "lib/report/methods/, or to `helpers` in test/report/supplement/methods-used.test.ts if it estimates nothing";
  assert.deepEqual([...without], [], `${[...without].join(", ")}: ${what}`);
});

Deno.test("cellCode() follows what a cell shows back to the functions behind it, and no further", () => {
  // by hand
  const cells = cellCode([
    'import * as mitral from "mitral";\nconst fit = mitral.coxRegression(data);',
    "const curve = mitral.kaplanMeier(data);\nconst { at: [value], ...rest } = curve;",
    'const other = (fit: number) => fit + 1;\nshow({ fit: 1, "quoted": value }, other(2));',
    "`${fit.terms}`",
    "const broken = ;",
  ]);
  assert.deepEqual(cells.map(({ library }) => library), [
    ["coxRegression"],
    ["kaplanMeier"],
    ["kaplanMeier"],
    ["coxRegression"],
    [],
  ]);
});

Deno.test("cellCode() reads functions imported by name, under another name too", () => {
  // by hand
  const cells = cellCode([
    'import { grayTest as test, logRank } from "mitral";\nimport { eValue } from "elsewhere";',
    "test(data)",
    "logRank(data)",
    "eValue(2)",
  ]);
  assert.deepEqual(cells.map(({ library }) => library), [[], ["grayTest"], ["logRank"], []]);
});

Deno.test("methodsUsed() names what ran, and nothing after a failure", () => {
  // by hand
  const cells = [
    'import * as mitral from "mitral";',
    "mitral.kaplanMeier(data)",
    "mitral.grayTest(data)",
    "mitral.eValue(2)",
  ];
  const all = methodsUsed([runOf(cells)]);
  assert.deepEqual(all.methods.map(({ id }) => id), ["kaplan-meier", "gray-test", "e-value"]);
  assert.deepEqual(all.behind({ notebook: "01-a", cell: 3 }).map(({ id }) => id), ["gray-test"]);
  assert.deepEqual(all.behind({ notebook: "none", cell: 1 }), []);
  assert.match(workText(all.works[0]!), /^Kaplan EL, Meier P\./);
  const stopped = methodsUsed([runOf(cells, 3)]);
  assert.deepEqual(stopped.methods.map(({ id }) => id), ["kaplan-meier"]);
});
