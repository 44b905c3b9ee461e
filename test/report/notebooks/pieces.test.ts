import { unlikeSentence } from "../../../lib/report/sentences/mod.ts";
import assert from "node:assert/strict";
import { join } from "node:path";
import { splitEvents } from "../../../lib/report/guest/mod.ts";
import { layoutProblems } from "../../../lib/report/check-notebooks.ts";
import { markdownTree } from "../../../lib/report/markup/markdown.ts";
import { notebookModule } from "../../../lib/report/notebooks/module.ts";
import { parseNotebook } from "../../../lib/report/notebooks/notebook.ts";
import { progressLines } from "../../../lib/report/notebooks/progress.ts";
import { safeSvg } from "../../../lib/report/markup/safe-drawing.ts";
import { htmlText } from "../../../lib/report/tree/mod.ts";
import { makeNotebook } from "./make-notebook.ts";

const place = { id: "n", folder: "file:///notebooks/" };

function moduleOf(...cells: string[]) {
  const result = notebookModule(parseNotebook(makeNotebook(cells), place));
  assert.ok("module" in result);
  return result.module;
}

Deno.test("notebookModule() keeps each line of a cell a line, and knows which", () => {
  const module = moduleOf("const a = 1;\n\na", "import './x.ts';\nfor (;;) break;");
  const lines = module.source.split("\n");
  lines.forEach((line, index) => {
    const at = module.place(index + 1);
    if (line.includes("const a = 1")) assert.deepEqual(at, { cell: 1, line: 1 });
    if (line.includes("show((a))")) assert.deepEqual(at, { cell: 1, line: 3 });
    if (line.includes("for (;;)")) assert.deepEqual(at, { cell: 2, line: 2 });
    if (line.includes("$mitral.cell(")) assert.equal(at, undefined);
  });
  // relative imports start from the notebook's folder
  assert.ok(module.source.includes('import "file:///notebooks/x.ts";'));
});

Deno.test("notebookModule() shows the last expression of a cell, and only that", () => {
  // by hand: cell, and the last line it becomes
  const cases: [string, string][] = [
    ["1; 2", "1; await $mitral.show((2))"],
    ["a, b;", "await $mitral.show((a, b));"],
    ["({ a: 1 })", "(await $mitral.show(({ a: 1 })))"],
    ['"text"', 'await $mitral.show(("text"))'],
    ["x // why", "await $mitral.show((x)) // why"],
    ["const x = 1", "const x = 1"],
    ["if (x) { x }", "if (x) { x }"],
    ["x as number satisfies number", "await $mitral.show((x as number satisfies number))"],
  ];
  for (const [cell, line] of cases) assert.equal(moduleOf(cell).source.split("\n")[2], line);
});

Deno.test("parseNotebook() names every place that is not as nbformat 4.5 wants it", () => {
  const raw = JSON.parse(makeNotebook(["1"]));
  raw.nbformat_minor = 4;
  delete raw.cells[0].id;
  assert.throws(
    () => parseNotebook(JSON.stringify(raw), place),
    /Cannot read notebook n: .*nbformat_minor.*cells\.0\.id/,
  );
  assert.throws(() => parseNotebook("{", place), /it is not JSON/);
});

Deno.test("splitEvents() tells events from text, however the bytes are cut", async () => {
  const passwords = ["4f1c", "77aa"];
  // a password that was used, or whose turn has not come, is text
  const text =
    'plain 77aa\n4f1c{"type":"cell","cell":1}\n4f1c{}\nno end 77aa{"type":"end","cell":1}\nrést';
  const bytes = new TextEncoder().encode(text);
  const expected = [
    { type: "text", text: "plain 77aa\n" },
    { type: "cell", cell: 1 },
    { type: "text", text: "4f1c{}\n" },
    { type: "text", text: "no end " },
    { type: "end", cell: 1 },
    { type: "text", text: "rést" },
  ];
  for (const size of [1, 2, 3, 7, 1000]) {
    const chunks: Uint8Array[] = [];
    for (let at = 0; at < bytes.length; at += size) chunks.push(bytes.slice(at, at + size));
    const found = await Array.fromAsync(splitEvents(ReadableStream.from(chunks), passwords));
    assert.deepEqual(found, expected, `chunks of ${size}`);
  }
});

Deno.test("progressLines() prints ends at once and cells no more than once a second", () => {
  let time = 0;
  let written = "";
  const progress = progressLines({
    write: (text) => void (written += text),
    isTerminal: false,
    now: () => time,
  });
  progress.cell("01-a", { cell: 1, of: 3 });
  time = 1500;
  progress.cell("01-a", { cell: 2, of: 3 });
  time = 1600;
  progress.cell("01-a", { cell: 3, of: 3 });
  progress.done("01-a", "done in 1.6 s");
  assert.equal(written, "   1.5 s  01-a  cell 2/3\n   1.6 s  01-a  done in 1.6 s\n");
});

Deno.test("progressLines() says how long the notebooks will still take", () => {
  let time = 0;
  let written = "";
  const progress = progressLines({
    write: (text) => void (written += text),
    isTerminal: false,
    now: () => time,
  });
  time = 10_000;
  // by hand: 60 s, 20 s and, at 2 s a cell, 20 s
  progress.begin?.([
    { id: "01-a", cells: 30, seconds: 60 },
    { id: "02-b", cells: 10, seconds: 20 },
    { id: "03-c", cells: 10 },
  ]);
  time = 40_000;
  progress.cell("01-a", { cell: 16, of: 30 });
  time = 50_000;
  progress.done("02-b", "done in 40.0 s");
  time = 90_000;
  progress.done("01-a", "done in 80.0 s");
  progress.done("03-c", "done in 20.0 s");
  assert.equal(
    written,
    "  40.0 s  01-a  cell 16/30  (about 1 min left)\n" +
      "  50.0 s  02-b  done in 40.0 s  (about 40 s left)\n" +
      "  90.0 s  01-a  done in 80.0 s  (about 20 s left)\n" +
      "  90.0 s  03-c  done in 20.0 s\n",
  );
});

Deno.test("layoutProblems() names a notebook that formatting would change", async () => {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const raw = JSON.parse(makeNotebook(["const x = 1;\nx;"]));
    raw.metadata.language_info = { name: "typescript" };
    const laidOut = `${JSON.stringify(raw, null, 1)}\n`;
    await Deno.writeTextFile(join(folder, "good.ipynb"), laidOut);
    await Deno.writeTextFile(join(folder, "bad.ipynb"), laidOut.replace("x = 1", "x   =1"));
    assert.deepEqual(await layoutProblems(folder), ["bad.ipynb: run deno task format-notebooks"]);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});

Deno.test("markdownTree() lets nothing through but its own marks", () => {
  const tree = markdownTree(
    "<b onclick=x>a</b> <!-- c -->\n\n<div>block</div>\n\n[j](JaVaScRiPt:x) [d](data:text/html,x) " +
      "![i](x.png)\n\n`<i>`\n\n~~~html\n<script>1</script>\n~~~\n\n$\\href{javascript:x}{y}$",
    { shift: 0, prefix: "p" },
  );
  const html = htmlText(tree);
  const tags = new Set([...html.matchAll(/<([a-z0-9]+)/g)].map(([, tag]) => tag));
  for (const tag of ["b", "div", "a", "img", "i", "script"]) assert.ok(!tags.has(tag), tag);
  assert.match(html, /&lt;b onclick=x>/);
});

Deno.test("safeSvg() drops what runs or fetches and keeps the drawing", () => {
  const wrap = (inner: string) => `<svg xmlns="http://www.w3.org/2000/svg">${inner}</svg>`;
  const kept = '<g class="a"><text x="1">A &#x3C; B</text></g>';
  assert.equal(safeSvg(wrap(kept)), wrap(kept));
  for (
    const bad of [
      "<script>1</script>",
      '<image href="https://x/y"/>',
      '<use href="https://x/y#z"/>',
      "<foreignObject/>",
      "<style>@import 'x'</style>",
      '<animate attributeName="href" to="javascript:1"/>',
    ]
  ) assert.equal(safeSvg(wrap(bad)), '<svg xmlns="http://www.w3.org/2000/svg"/>', bad);
  assert.equal(
    safeSvg(wrap('<rect onload="x" fill="url(https://x)" width="1"/>')),
    wrap('<rect width="1"/>'),
  );
  assert.equal(safeSvg("<p>no drawing</p>"), undefined);
});

Deno.test("safeSvg() keeps a drawing's rules to that drawing, and to how its shapes look", () => {
  // by hand: what each sheet may do to a drawing with the id d
  const rules = (sheet: string, id = "d") =>
    /<style>(.*)<\/style>/.exec(
      safeSvg(`<svg xmlns="http://www.w3.org/2000/svg" id="${id}"><style>${sheet}</style></svg>`) ??
        "",
    )?.[1];
  const own =
    ":where(#d){max-width:9px;font-family:var(--f,'A B',serif)}#d .x{fill:var(--i,#1b1f24)}";
  assert.equal(rules(own), own);
  assert.equal(rules("body{display:none}.x{fill:red}"), "#d body{display:none}#d .x{fill:red}");
  for (
    const bad of [
      "#d{position:fixed;inset:0}",
      "#d{background:url(https://x)}",
      "#d{fill:url(https://x)}",
      "#d{fill:image-set('x')}",
      "#d{content:'x'}",
      "#d{overflow:visible;width:9999px;height:9999px}",
      "@font-face{font-family:x;src:url(x)}",
      "@media print{#d{fill:red}}",
      "#d{fill:red\\}",
    ]
  ) assert.equal(rules(bad), undefined, bad);
  assert.equal(rules("#d{fill:red}", ""), undefined);
  const inline =
    '<svg xmlns="http://www.w3.org/2000/svg"><g style="position:fixed;fill:red"/></svg>';
  assert.equal(safeSvg(inline), inline.replace("position:fixed;", ""));
});

// By hand: two of three differ by more than a tenth; the largest stands first, whatever its sign.
Deno.test("unlikeSentence() counts what was unlike and names the most unlike", () => {
  const row = (label: string, before: number) => ({
    covariate: label,
    label,
    kind: "number" as const,
    before,
    afterMatching: 0,
    afterWeighting: 0,
  });
  const none = { before: 0, afterMatching: 0, afterWeighting: 0 };
  const balance = (rows: ReturnType<typeof row>[], above: number) =>
    ({
      rows,
      largest: none,
      aboveTenth: { ...none, before: above },
    }) as unknown as Parameters<typeof unlikeSentence>[0];
  const rows = [row("Age", 0.2), row("NYHA class", -0.6), row("Ejection fraction", 0.05)];
  assert.equal(
    unlikeSentence(balance(rows, 2)),
    "Before operation the groups differed by more than a tenth of a standard deviation in 2 of 3 " +
      "measured characteristics, most in NYHA class, age and ejection fraction.",
  );
  assert.match(unlikeSentence(balance([row("Age", 0.01)], 0)), /no measured characteristic/);
});
