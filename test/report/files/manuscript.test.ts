import assert from "node:assert/strict";
import { unzipSync } from "fflate";
import { join } from "node:path";
import { reportFiles } from "../../../lib/report/report-files.ts";
import { quickReport, withWorkspace } from "../workspace.ts";

const cells = [
  'import { finding, say, survivalFigure, table } from "mitral";\n' +
  "const curve = { time: [1, 5], survival: [0.9, 0.832], atRisk: [400, 300] };\n" +
  'survivalFigure({ id: "survival-weighted", title: "Alive after operation", horizon: 5,\n' +
  '  groups: [{ label: "Repair", curve }], caption: "Limits shaded." })',
  'table({ id: "survival-weighted-table", title: "Alive", caption: "Per 100.", columns: [\n' +
  '  { key: "years", label: "Years" }, { key: "alive", label: "Alive", kind: "percent" }],\n' +
  "  rows: [{ years: 5, alive: 0.832 }] })",
  'finding({ id: "alive", endpoint: "death", quantity: "alive", horizon: 5, design: "weighted",\n' +
  '  estimand: "overlap", tableId: "survival-weighted-table", figureId: "survival-weighted",\n' +
  '  groups: [{ label: "repair", estimate: 0.832, lower: 0.801, upper: 0.86, n: 412 },\n' +
  '    { label: "replacement", estimate: 0.823, lower: 0.78, upper: 0.861, n: 233 }],\n' +
  "  difference: { estimate: 0.009, lower: -0.044, upper: 0.061, pValue: 0.74 } })",
];

Deno.test("the manuscript has its numbers from the findings, and figures that need no style sheet", async (t) => {
  await withWorkspace({ "01-survival": cells }, async ({ study, notebooks, out }) => {
    const { files, model } = await quickReport({ study, notebooks, out });
    await t.step("numbers in the order of an article", async () => {
      assert.deepEqual(model.failures, []);
      assert.deepEqual(files.filter((path) => path.startsWith("manuscript/")).sort(), [
        "manuscript/figure-1-1-column.svg",
        "manuscript/figure-1-2-columns.svg",
        "manuscript/manuscript.docx",
      ]);
      const bytes = await Deno.readFile(join(out, "manuscript/manuscript.docx"));
      const parts = unzipSync(bytes);
      const xml = new TextDecoder().decode(parts["word/document.xml"]);
      const words = xml.replace(/<\/w:p>/g, "\n").replace(/<[^>]+>/g, "");
      // by hand, from the finding above: shares times 100, a decimal, limits with them
      assert.match(
        words,
        /At 5 years, among patients who could have had either operation, 83\.2% \(80\.1 to 86\.0\) after repair \(n = 412\) and 82\.3% \(78\.0 to 86\.1\) after replacement \(n = 233\) were alive/,
      );
      assert.match(words, /The difference was 0\.9 per 100 \(−4\.4 to 6\.1; p = 0\.74\)\./);
      assert.match(words, /\(Table 1, Figure 1\)/);
      const order = [
        "Summary\n",
        "Introduction\n",
        "Methods\n",
        "Results\n",
        "Limits\n",
        "Discussion\n",
        "References\n",
        "Table 1. ",
        "Table 2. The trial that would answer",
        "Figure legends",
        "Figure 1. ",
      ].map((heading) => words.indexOf(`\n${heading}`));
      assert.deepEqual(order, [...order].sort((a, b) => a - b));
      assert.ok(order.every((at) => at > 0), String(order));
      const [picture] = Object.entries(parts).filter(([name]) =>
        /^word\/media\/.*\.png$/.test(name)
      );
      // how every PNG begins: the format's own definition
      assert.deepEqual([...picture![1].slice(0, 8)], [137, 80, 78, 71, 13, 10, 26, 10]);
      assert.match(await Deno.readTextFile(join(out, "report.html")), /manuscript\//);
      const again = await reportFiles(model);
      assert.deepEqual(again.get("manuscript/manuscript.docx"), bytes);
    });
    await t.step("figures need no style sheet", async () => {
      for (const [name, width] of [["1-column", 85], ["2-columns", 180]] as const) {
        const svg = await Deno.readTextFile(join(out, `manuscript/figure-1-${name}.svg`));
        assert.doesNotMatch(svg, /<style|style=|var\(|:where|class=|paint-order/);
        assert.match(svg, new RegExp(`width="${width}mm"`));
        assert.match(svg, /<text[^>]*>/);
        assert.match(svg, /fill="#/);
      }
    });
  });
});
