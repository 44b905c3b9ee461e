import assert from "node:assert/strict";
import * as mitral from "mitral";
import { isPlain } from "../../../lib/report/cells/plain-code.ts";
import { asynchronous, withMemory } from "../../../lib/report/cells/plain-words.ts";
import { codeOf } from "../../../lib/report/notebooks/notebook.ts";
import { notebooksIn, readNotebooks } from "../../../lib/report/snapshot/mod.ts";
import { fromFileUrl } from "../../../lib/report/sandbox/mod.ts";

const library = 'import * as mitral from "mitral";';
const given =
  "const { death, names, values, found, known, text, rows, plan, steps, box } = mitral;";

Deno.test("code that names values and shows them is plain", () => {
  // by hand
  const plain = [
    "const { study, analysis: all } = await mitral.openAnalysis();\nmitral.say(study.title);",
    "const whole = mitral.unadjusted(death) as unknown as { time: number[] };",
    "const alive = (data: number[], at = 5): number => data.filter((time) => time > at).length;",
    "const list = [...names].toSorted().map((name, k) => ({ name, [`at ${k}`]: values[k] }));",
    "const counts = new Map(Object.entries(found)); const most = counts.get('a')?.at(-1) ?? 0;",
    "type Pair = number; interface Own { pair: Pair } const mine = { pair: 1 } satisfies Own;",
    "console.log(names);",
    "await mitral.displayAll(names.map((name) => mitral.note(name)));",
    "known ? mitral.say(`${known}`) : undefined",
    "const { pooledHazardRatio } = mitral; const ratio = pooledHazardRatio(death);",
    "const share = Number(text) / Number.parseFloat('3'); const word = String(share).slice(1, 2);",
    "const first = names.find((name) => name === 'a')!; const row = rows[steps.at]; row[0]",
    "const clean = text.replace(/a+/g, '').split(',').join('; ');",
    '"text alone"',
  ];
  for (const code of plain) assert.ok(isPlain([library, given, code]), code);
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
    "rows['push']!(1);",
    "(rows['push'] as (one: number) => void)(1);",
    "rows[`push`](1);",
    "[7].map(rows['push'], rows);",
    "[7].map(known, rows);",
    "const { push } = rows;",
    "const { ['push']: put } = rows;",
    "const { [text]: put } = rows;",
    "const put = rows['pu' + 'sh'];",
    "const own = { length: 0, at: rows['push'] };",
    "const all = found.values!();",
    "const add = found.add;",
    "Object.assign(plan, { seed: 2 });",
    "const { assign } = Object; assign(plan, {});",
    "const { assign } = ({}).constructor as ObjectConstructor;",
    "const make = (() => 1).constructor;",
    "const own = Object; own.assign(plan, {});",
    "plan.seed = 2;",
    "rows[0]++;",
    "delete plan.seed;",
    "for (const one of names) { console.log(one); }",
    "for (rows[0] of [5]) { console.log(rows); }",
    "for (plan.seed of names) console.log(plan);",
    "if (known) { mitral.displayAll(names); }",
    "mitral.displayAll(names);",
    "const later = mitral.displayAll(names);",
    "const { displayAll } = mitral; await displayAll(names);",
    "const own = mitral; await own.displayAll(names);",
    "await mitral[text](names);",
    "const later = (async () => { await 0; return 1; })();",
    "const later = names.map(async (name) => name);",
    "const parts = await Promise.all(names);",
    "const now = Date.now();",
    "declare const Date: { now(): number }; const { now } = Date;",
    "import type { Date } from 'mitral';",
    "import { displayAll } from 'mitral';",
    "const draw = Math.random();",
    "const draw = globalThis.Math.random();",
    "const draw = crypto.randomUUID();",
    "const random = new mitral.SeededRandom(1);",
    "const Map = mitral.SeededRandom; const random = new Map(1);",
    "const make = (Set: unknown) => new Set(1);",
    "const test = (mitral: RegExp) => mitral.test('a');",
    "const when = new Date();",
    "const own = await Deno.readTextFile('a');",
    "const other = await import('./other.ts');",
    "import { other } from './other.ts';",
    "import data from 'mitral/data';",
    "export const one = 1;",
    "frame.addColumn('a', values);",
    "const next = steps.next();",
    "const all = rows.values();",
    "const re = /a/y;",
    "const { 'display': show } = mitral;",
    "const { say, ...rest } = mitral;",
    "const { openAnalysis: { name } } = mitral;",
    "const make = mitral.note; const one = new make(1);",
    "const own = { length: 0, at: rows[text] };",
    "const own = mitral.note({ id: 'warning-0a1b2c3d', about: 'warning', text: 'Few.' });",
    "function half(x: number) { return x / 2; }",
    "function* all() { yield 1; }",
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
  for (const code of others) assert.ok(!isPlain([library, given, code]), code);
  assert.ok(!isPlain([library, "const one = 1;", "const one = 2;"]), "a name that is given twice");
  assert.ok(!isPlain([library, "mitral.say(one);"]), "a name that no cell gives");
});

Deno.test("what the library does while others go on, and what remembers, are those that are known", () => {
  // identity
  const made = (kind: string) =>
    Object.entries(mitral).filter(([, value]) => value.constructor.name === kind)
      .map(([name]) => name);
  assert.deepEqual([...asynchronous].sort(), made("AsyncFunction").sort());
  for (const name of made("GeneratorFunction")) assert.ok(withMemory.has(name), name);
  for (const name of withMemory) assert.ok(name in mitral, name);
});

Deno.test("the notebooks of the project are plain, so that an edit runs no more than it reaches", async () => {
  const folder = fromFileUrl(new URL("../../../notebooks", import.meta.url));
  const { notebooks } = await readNotebooks(await notebooksIn(folder));
  const others = notebooks.filter((notebook) => !isPlain(codeOf(notebook))).map(({ id }) => id);
  // works with a data frame, which writes over a column in place where there is one of that name
  assert.deepEqual(others, ["01-cohort"]);
});
