import assert from "node:assert/strict";
import { printSvg, safeDrawing } from "../../../lib/report/markup/mod.ts";
import { type NotebookRun, parseNotebook } from "../../../lib/report/notebooks/mod.ts";
import { partsOf, rememberParts } from "../../../lib/report/run-parts/mod.ts";
import { notebookProse } from "../../../lib/report/supplement/mod.ts";
import { makeNotebook } from "../notebooks/make-notebook.ts";

const svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">' +
  '<path d="M0 0L9 9" fill-opacity="Infinity"/></svg>';

function runOf(drawings: readonly string[]): NotebookRun {
  const raw = makeNotebook([
    { markdown: "# The title\n\nText with $x^2$.\n\n## A part" },
    'import { note } from "mitral";\nnote({ id: "a", text: "One." })',
  ]);
  const notebook = parseNotebook(raw, { id: "01-a", folder: "file:///nowhere/" });
  const figure = (drawing: string) => ({
    type: "result" as const,
    bundle: {},
    item: { kind: "figure", id: "f", svg: drawing } as never,
  });
  const seconds = { start: 0, total: 0, cells: [] };
  return { notebook, outputs: [drawings.map(figure)], failure: undefined, seconds };
}

Deno.test("what pages are made from is the same once it was kept", () => {
  const run = runOf([svg, "no drawing at all"]);
  const made = partsOf(run);
  assert.deepEqual(made.code, [{ library: ["note"] }]);
  assert.equal(made.drawings[1], null);
  assert.equal(made.drawings[0]?.printed, printSvg(svg));
  assert.ok(made.prose.title && made.prose.parts.length > 0);
  const parts = JSON.parse(JSON.stringify(made));
  const kept = { ...runOf([svg, "no drawing at all"]), parts };
  assert.notEqual(kept.notebook, run.notebook);
  rememberParts([kept]);
  assert.equal(notebookProse(kept.notebook), parts.prose, "it is not read again");
  assert.equal(safeDrawing(svg), parts.drawings[0].safe);
  const again = JSON.parse(JSON.stringify(partsOf({ ...kept, parts: undefined })));
  assert.deepEqual(again, parts);
});

Deno.test("what was kept of one drawing is not taken for another's", () => {
  const other = svg.replace("L9 9", "L1 1");
  rememberParts([{ ...runOf([other]), parts: partsOf(runOf([other])) }]);
  assert.match(printSvg(other), /L1 1/);
  assert.match(printSvg(svg), /L9 9/);
});
