import assert from "node:assert/strict";
import { printSvg, safeDrawing } from "../../../lib/report/markup/mod.ts";
import { type NotebookRun, parseNotebook } from "../../../lib/report/notebooks/mod.ts";
import { partsOf, rememberParts } from "../../../lib/report/run-parts/mod.ts";
import { notebookProse, saidMarkup } from "../../../lib/report/notebook-sections/mod.ts";
import { tableCsv } from "../../../lib/report/files/mod.ts";
import { tableMarkup } from "../../../lib/report/page/mod.ts";
import { makeNotebook } from "../notebooks/make-notebook.ts";

const svg = '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9">' +
  '<path d="M0 0L9 9" fill-opacity="Infinity"/></svg>';

const shownTable = {
  kind: "table",
  id: "deaths",
  title: "Deaths",
  caption: "All.",
  columns: [{ key: "group", label: "Group" }, { key: "n", label: "Died" }],
  rows: [{ group: "Repair & ring", n: 12 }, { group: "Replacement", n: 15 }],
};

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
  const table = { type: "result" as const, bundle: {}, item: { ...shownTable } as never };
  const said = { type: "result" as const, bundle: { "text/markdown": "*Twelve* died." } };
  const seconds = { start: 0, total: 0, cells: [] };
  const outputs = [[...drawings.map(figure), table, said]];
  return { notebook, outputs, failure: undefined, seconds };
}

Deno.test("what pages are made from is the same once it was kept", () => {
  const run = runOf([svg, "no drawing at all"]);
  const made = partsOf(run);
  assert.deepEqual(made.code, [{ library: ["note"] }]);
  assert.equal(made.drawings[1], null);
  assert.equal(made.drawings[0]?.printed, printSvg(svg));
  assert.ok(made.prose.title && made.prose.parts.length > 0);
  assert.match(made.tables[0]?.markup ?? "", /id="row-deaths-1"[^]*Repair &amp; ring[^]*12/);
  assert.match(made.said[0] ?? "", /<em>Twelve<\/em> died/);
  const parts = JSON.parse(JSON.stringify(made));
  const kept = { ...runOf([svg, "no drawing at all"]), parts };
  assert.notEqual(kept.notebook, run.notebook);
  rememberParts([kept]);
  assert.equal(notebookProse(kept.notebook), parts.prose, "it is not read again");
  assert.deepEqual(safeDrawing(svg), JSON.parse(parts.drawings[0].safe));
  const again = JSON.parse(JSON.stringify(partsOf({ ...kept, parts: undefined })));
  assert.deepEqual(again, parts);
});

Deno.test("a page shows what was kept of a table and of what was said, as long as they are the same", () => {
  const run = runOf([]);
  const made = partsOf(run);
  const parts = {
    ...made,
    tables: [{ markup: "<table>kept</table>", csv: "kept" }],
    said: ["<p>kept</p>"],
  };
  rememberParts([{ ...run, parts }]);
  const shown = { ...shownTable, title: "In other words", status: "planned" as const };
  assert.equal(tableMarkup(shown), "<table>kept</table>");
  assert.equal(tableCsv(shown), "kept");
  assert.equal(saidMarkup("*Twelve* died."), "<p>kept</p>");
  const rows = [{ group: "Repair & ring", n: 13 }, shownTable.rows[1]!];
  assert.match(tableMarkup({ ...shown, rows }), /13/);
  assert.match(tableCsv({ ...shown, rows }), /13/);
  assert.match(saidMarkup("*Thirteen* died."), /Thirteen/);
  rememberParts([{ ...run, parts: made }]);
});

Deno.test("what was kept of one drawing is not taken for another's", () => {
  const other = svg.replace("L9 9", "L1 1");
  rememberParts([{ ...runOf([other]), parts: partsOf(runOf([other])) }]);
  assert.match(printSvg(other), /L1 1/);
  assert.match(printSvg(svg), /L9 9/);
});
