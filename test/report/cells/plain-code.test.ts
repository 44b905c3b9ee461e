import assert from "node:assert/strict";
import { isPlain } from "../../../lib/report/cells/plain-code.ts";
import { codeOf } from "../../../lib/report/notebooks/notebook.ts";
import { notebooksIn, readNotebooks } from "../../../lib/report/snapshot/mod.ts";
import { fromFileUrl } from "../../../lib/report/guest/sandbox.ts";

const library = `import * as mitral from "mitral";
const { death, names, values, found, frame, wide, narrow, known, text, rows, plan, steps } = mitral;
const pair = 1;`;

Deno.test("code that names values and shows them is plain", () => {
  // by hand
  const plain = [
    "const { study, analysis: all } = await mitral.openAnalysis();\nmitral.say(study.title);",
    "const whole = mitral.unadjusted(death) as unknown as { time: number[] };",
    "const alive = (data: number[], at = 5): number => data.filter((time) => time > at).length;",
    "function half(x: number) { if (x > 1) { return x / 2; }\nreturn Math.max(0, x); }",
    "const list = [...names].toSorted().map((name, k) => ({ name, [`at ${k}`]: values[k] }));",
    "const counts = new Map(Object.entries(found)); const most = counts.get('a')?.at(-1) ?? 0;",
    "type Pair = number; interface Own { pair: Pair } const mine = { pair } satisfies Own;",
    "for (const one of names) { console.log(one); }",
    "const parts = await Promise.all(names.map(async (name) => await mitral.displayAll([name])));",
    "const wider = frame.addColumn('shortening', wide.sub(narrow).div(wide));",
    "known ? mitral.say(`${known}`) : undefined",
    "const { pooledHazardRatio } = mitral; const ratio = pooledHazardRatio(death);",
    "const share = Number(text) / Number.parseFloat('3'); const word = String(share).slice(1, 2);",
    '"text alone"',
  ];
  for (const code of plain) assert.ok(isPlain([library, code]), code);
});

Deno.test("code that may change what another cell sees, or gives otherwise each time, is not plain", () => {
  // by hand
  const others = [
    "let total = 0;",
    "var total = 0;",
    "rows.push(1);",
    "const last = rows.pop();",
    "rows.sort();",
    "rows['push'](1);",
    "const add = found.add;",
    "Object.assign(plan, { seed: 2 });",
    "const { assign } = Object; assign(plan, {});",
    "const own = Object; own.assign(plan, {});",
    "plan.seed = 2;",
    "rows[0]++;",
    "delete plan.seed;",
    "const now = Date.now();",
    "const draw = Math.random();",
    "const draw = globalThis.Math.random();",
    "const draw = crypto.randomUUID();",
    "const random = new mitral.SeededRandom(1);",
    "const when = new Date();",
    "const own = await Deno.readTextFile('a');",
    "const other = await import('./other.ts');",
    "import { other } from './other.ts';",
    "import data from 'mitral/data';",
    "export const one = 1;",
    "frame.addColumn('a', values, { inplace: true });",
    "frame.addColumn('a', values, { 'inplace': true });",
    "frame.drop('a');",
    "const next = steps.next();",
    "function* all() { yield 1; }",
    "const all = rows.values();",
    "setTimeout(() => mitral.say('late'));",
    "const who = this;",
    "eval('1');",
    "const own = String.raw`a`;",
    "class Own {}",
    "enum Kind { One }",
    "while (true) {}",
    "try { rows.at(0); } catch { mitral.say('no'); }",
    "mitral.say('unfinished'",
  ];
  for (const code of others) assert.ok(!isPlain([library, code]), code);
  assert.ok(!isPlain([library, "const one = 1;", "const one = 2;"]), "a name that is given twice");
});

Deno.test("every notebook of the project is plain, so that an edit runs no more than it reaches", async () => {
  const folder = fromFileUrl(new URL("../../../notebooks", import.meta.url));
  const { notebooks } = await readNotebooks(await notebooksIn(folder));
  assert.ok(notebooks.length > 0);
  for (const notebook of notebooks) assert.ok(isPlain(codeOf(notebook)), notebook.id);
});
