import assert from "node:assert/strict";
import { unzipSync } from "fflate";
import { join } from "node:path";
import { quickReport, withWorkspace } from "../workspace.ts";

Deno.test("buildReport() prints figures, each laid out anew for two columns", async () => {
  await withWorkspace({
    "01-a": [
      'import { survivalFigure } from "mitral";\n' +
      "const curve = { time: [1, 2], survival: [0.9, 0.8], atRisk: [20, 18] };\n" +
      'survivalFigure({ id: "s", title: "S", groups: [{ label: "Repair", curve }], horizon: 2 })',
    ],
  }, async ({ study, notebooks, out }) => {
    const { files, model } = await quickReport({ study, notebooks, out, print: "figures" });
    assert.deepEqual(model.failures, []);
    assert.ok(files.includes("figures/2-columns/s.pdf"));
    const item = model.items.figures[0]?.item;
    // by hand: 480 units are 85 mm, so 180 mm are 1016
    assert.match(item?.svg ?? "", /viewBox="0 0 480 /);
    assert.match(item?.wide ?? "", /viewBox="0 0 1016 /);
    const pdf = await Deno.readTextFile(join(out, "figures/2-columns/s.pdf"));
    assert.ok(Math.abs(Number(/MediaBox \[0 0 ([\d.]+)/.exec(pdf)?.[1]) - 510.24) < 0.01);
    const notebook = await Deno.readTextFile(join(out, "notebooks/01-a.ipynb"));
    assert.doesNotMatch(notebook, /0 0 1016 /);
    await quickReport({ study, notebooks, out });
    await assert.rejects(Deno.stat(join(out, "figures/2-columns")));
  });
});

Deno.test("tables.docx holds every table with caption and notes, escaped, the same bytes twice", async () => {
  await withWorkspace({
    "01-a": [
      '({ kind: "table", id: "t", title: "Alive & <well>", caption: "Of whom.", notes: ["A note."], ' +
      'columns: [{ key: "g", label: "Group" }, { key: "x", label: "Share", kind: "percent" }], ' +
      'rows: [{ g: "Repair", x: 0.712 }, { g: "Replacement", x: null }] })',
    ],
  }, async ({ study, notebooks, out }) => {
    const { files } = await quickReport({ study, notebooks, out });
    assert.ok(files.includes("tables/tables.docx"));
    assert.ok(!files.includes("excluded.csv")); // the cohort cannot be read
    const bytes = await Deno.readFile(join(out, "tables/tables.docx"));
    const xml = new TextDecoder().decode(unzipSync(bytes)["word/document.xml"]);
    assert.match(xml, /Alive &amp; &lt;well&gt;/);
    for (const text of ["Table 1. ", "Share (%)", "71.2", "A note."]) {
      assert.ok(xml.includes(text), text);
    }
    assert.equal(xml.split("<w:tbl>").length - 1, 1);
    assert.equal(xml.split("<w:tr>").length - 1, 3);
    await quickReport({ study, notebooks, out });
    assert.deepEqual(await Deno.readFile(join(out, "tables/tables.docx")), bytes);
  });
});
