import assert from "node:assert/strict";
import { unzipSync } from "fflate";
import { parseHTML } from "linkedom";
import { join } from "node:path";
import { withResolution } from "../../../lib/report/print/png-resolution.ts";
import { printFigures } from "../../../lib/report/print/print-figures.ts";
import { printSvg } from "../../../lib/report/markup/print-svg.ts";
import { quickReport, withWorkspace } from "../workspace.ts";

const svg =
  '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 480 240"><style>#a{fill:red}</style>' +
  '<rect x="10" y="10" width="100" height="60" fill="#0072b2"/>' +
  '<g fill="#1b1f24" paint-order="stroke" stroke="#ffffff" stroke-width="5"><text x="20" y="200">' +
  "Alive −4.2 ≥ 5</text></g></svg>";

Deno.test("printFigures() embeds fonts in PDF, sets sizes, and gives the same bytes twice", async () => {
  const job = { id: "alive", title: "Alive", svg };
  const files = new Map(await printFigures([job]));
  assert.deepEqual([...files.keys()], [
    "figures/1-column/alive.pdf",
    "figures/1-column/alive.png",
    "figures/2-columns/alive.pdf",
    "figures/2-columns/alive.png",
  ]);
  const pdf = new TextDecoder("latin1").decode(files.get("figures/1-column/alive.pdf"));
  // by hand: 85 mm at 72 points to 25.4 mm, twice as wide as high
  const box = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf);
  assert.ok(
    Math.abs(Number(box?.[1]) - 240.94) < 0.01 && Math.abs(Number(box?.[2]) - 120.47) < 0.01,
  );
  assert.match(pdf, /\/FontFile2/);
  assert.match(pdf, /SourceSans3-Regular/);
  assert.doesNotMatch(pdf, /Helvetica/);
  const png = files.get("figures/2-columns/alive.png") ?? new Uint8Array();
  const view = new DataView(png.buffer);
  // by hand: 180 mm at 400 dots to the inch; 400 dpi is 15748 dots to the metre
  assert.equal(view.getUint32(16), 2835);
  assert.equal(new TextDecoder("latin1").decode(png.subarray(37, 41)), "pHYs");
  assert.equal(view.getUint32(41), 15748);
  const again = new Map(await printFigures([job]));
  for (const [path, bytes] of files) assert.deepEqual(again.get(path), bytes, path);
});

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

Deno.test("withResolution() writes a chunk whose check sum is the standard's", () => {
  // by hand: IEND's published CRC is AE 42 60 82, made by the same rule
  const header = new Uint8Array(8 + 25);
  const chunk = withResolution(header, 25.4).subarray(33);
  const view = new DataView(chunk.buffer, chunk.byteOffset);
  assert.equal(view.getUint32(8), 1000);
  assert.equal(chunk.length, 21);
});

Deno.test("printSvg() takes style rules out and paints halos under their letters", () => {
  const text = printSvg(svg);
  assert.doesNotMatch(text, /style|paint-order/);
  const { document } = parseHTML(text);
  const [halo, letters] = document.querySelectorAll("g");
  assert.equal(halo?.getAttribute("stroke"), "#ffffff");
  assert.equal(halo?.getAttribute("fill"), "#ffffff");
  assert.equal(letters?.getAttribute("stroke"), null);
  assert.equal(letters?.getAttribute("fill"), "#1b1f24");
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
