import { join } from "node:path";
import { projectFolder } from "../../../lib/report/sandbox/mod.ts";
import type { CellSource } from "../notebooks/make-notebook.ts";

const runtime = JSON.stringify(
  new URL("../../../lib/report/guest/runtime.ts", import.meta.url).href,
);

/** What a second cell of three tries; the first shows 1, the third "third". */
export interface Attack {
  cell: CellSource;
  /** What the failure of cell 2 must say; without it the notebook must run whole. */
  says?: RegExp;
  /** The cell that is named, where it is not cell 2. */
  names?: number;
  /** What cell 2 must show as text, where it runs whole. */
  shows?: string;
}

/** Each was tried against an earlier runner, and most worked. */
export const attacks: Record<string, Attack> = {
  // ---- forged events ----
  "end-through-the-global-object": {
    cell: "for (const key of Object.getOwnPropertySymbols(globalThis)) {\n" +
      "  const found = Reflect.get(globalThis, key);\n" +
      '  if (typeof found?.end === "function") found.end();\n}\nthrow new Error("not hidden");',
    says: /not hidden/,
  },
  "cell-out-of-turn": {
    cell: `import * as again from ${runtime};\nagain.cell(3);`,
    says: /only the report's runner calls/,
    names: 3, // where the runner's own call is refused
  },
  "second-copy-of-the-runtime": {
    cell:
      `const address = ${runtime} + "?second";\nconst copy = await import(address);\ncopy.cell(3);`,
    says: /stopped before its end/,
  },
  "arguments-are-empty": { cell: "JSON.stringify(Deno.args)", shows: '"[]"' },
  "greeting-is-read": {
    cell: "Deno.stdin.readSync(new Uint8Array(9))",
    shows: undefined,
  },
  "passwords-from-the-heap": {
    cell: 'import { getHeapSnapshot } from "node:v8";\nlet heap = "";\n' +
      "for await (const part of getHeapSnapshot()) heap += part;\n" +
      "for (const word of heap.match(/[0-9a-f]{32}/g) ?? []) {\n" +
      '  console.log(`${word}{"type":"end","cell":3}`);\n}\nthrow new Error("not hidden");',
    says: /not hidden/,
  },
  "own-functions-for-the-language's": {
    cell:
      "JSON.stringify = () => '\"forged\"';\nTextEncoder.prototype.encode = () => new Uint8Array();\n" +
      "Deno.stdout.writeSync = () => 1e9;\nReflect.apply = () => undefined;\n" +
      "Uint8Array.prototype.subarray = () => new Uint8Array(1);\n" +
      '"own"',
    shows: '"own"',
  },
  "no-promise-is-kept": {
    cell: 'Object.defineProperty(Promise.prototype, "then", { value: () => undefined });\n' +
      'Object.defineProperty(Promise.prototype, "constructor", { value: Array });\n2',
    says: /never resolved|stopped before its end/,
  },
  "to-json-of-every-object": {
    cell: 'Object.defineProperty(Object.prototype, "toJSON", {\n' +
      '  value: () => ({ type: "end", cell: 3 }),\n});\n"misfiled"',
    says: /no report can show/,
  },
  "printed-events": {
    cell: 'console.log(\'{"type":"end","cell":3}\');\nthrow new Error("not hidden");',
    says: /not hidden/,
  },
  "closes-its-voice": {
    cell: "Deno.stdout.close();\nconsole.log(1);",
    says: /stopped before its end|Bad resource|BadResource/,
  },
  "leaves-as-if-done": {
    cell: 'import process from "node:process";\nprocess.exit(0);',
    says: /stopped before its end/,
  },
  // ---- hanging on ----
  "stray-timer": { cell: "setInterval(() => {}, 1000);\n2", shows: "2" },
  "does-not-leave": {
    cell: 'addEventListener("unload", () => {\n  for (;;);\n});\n2',
    shows: "2",
  },
  "waits-for-ever-when-drawn": {
    cell: 'import { display } from "mitral";\nvoid display({\n' +
      '  [Symbol.for("Jupyter.display")]: () => new Promise(() => {}),\n});\n2',
    shows: "2",
  },
  // ---- what outlives a run, or lies outside it ----
  ...Object.fromEntries(
    ["stores-in-a-worker", "stores-in-a-worker-again"].map((name) => [name, {
      cell: "const code = `const c = await caches.open('x'); const a = 'http://x.invalid/a';" +
        "const b = await c.match(a); await c.put(a, new Response('row'));" +
        "postMessage(b ? await b.text() : 'nothing')`;\n" +
        'const address = "data:application/javascript," + encodeURIComponent(code);\n' +
        'const worker = new Worker(address, { type: "module" });\n' +
        "const said = await new Promise((resolve) => {\n" +
        "  worker.onmessage = (event) => resolve(event.data);\n});\nworker.terminate();\nsaid",
      shows: '"nothing"',
    }]),
  ),
  "no-storage": {
    cell: '[typeof Storage, typeof caches, "localStorage" in globalThis].join(" ")',
    shows: '"undefined undefined false"',
  },
  "writes-anywhere": { cell: 'Deno.writeTextFileSync("x.txt", "x");', says: /write access/ },
  "reads-other-studies": {
    cell: `Deno.readDirSync(${JSON.stringify(join(projectFolder, "out"))}).next();`,
    says: /read access/,
  },
  "reads-another-notebook's-module": {
    cell: 'Deno.readTextFileSync("../modules/1.ts");',
    says: /read access/,
  },
  "changes-the-copy-of-the-cohort": {
    cell: 'import { openStudy } from "mitral";\nconst { cohortPath } = await openStudy();\n' +
      'Deno.writeTextFileSync(cohortPath, "x");',
    says: /write access/,
  },
  "looks-into-memory-by-inspector": {
    cell: 'import { Session } from "node:inspector";\nnew Session().connect();',
    says: /sys access/,
  },
  // ---- too much ----
  "prints-too-much": {
    cell: 'for (;;) console.log("x".repeat(1e6));',
    says: /printed more than 2 million letters/,
  },
  "shows-too-much-at-once": {
    cell: '({\n  [Symbol.for("Jupyter.display")]: () => ({ "text/plain": "x".repeat(2e7) }),\n})',
    says: /more than 16 million letters at once/,
  },
  "shows-too-often": {
    cell: "for (let k = 0; k < 6000; k++) console.warn(k);",
    says: /shows more than a report can place/,
  },
  "shows-no-form": {
    cell: '({ [Symbol.for("Jupyter.display")]: () => 5 })',
    says: /no report can show/,
  },
  "shows-a-deep-drawing": {
    cell: '({\n  [Symbol.for("Jupyter.display")]: () => ({\n' +
      '    "image/svg+xml": `<svg>${"<g>".repeat(9000)}`,\n  }),\n})',
    says: /at most 100 groups/,
  },
  "shows-a-deep-figure": {
    cell: '({ kind: "figure", id: "deep", title: "D", caption: "", alt: "D",\n' +
      '  svg: `<svg>${"<g>".repeat(9000)}</svg>` })',
    says: /figure deep: its parts lie more than 100 deep/,
  },
  "shows-a-huge-table": {
    cell: '({ kind: "table", id: "huge", title: "H", caption: "",\n' +
      '  columns: [{ key: "a", label: "A" }],\n' +
      "  rows: Array.from({ length: 300000 }, () => ({ a: 1 })) })",
    says: /table huge: it has 300000 values/,
  },
  "shows-deep-markdown": {
    cell: '({\n  [Symbol.for("Jupyter.display")]: () => ({\n' +
      '    "text/markdown": ">".repeat(20000) + " x",\n  }),\n})',
    says: /cannot be drawn/,
  },
  // ---- what the compiler reads ----
  "compiler-reads-outside": {
    cell: 'import type { root } from "/etc/passwd";',
    says: /imports passwd, which lies neither/,
  },
  "compiler-reads-by-reference": {
    cell: '/// <reference path="/etc/passwd" />\n2',
    shows: "2",
  },
  "compiler-reads-through-a-link": {
    cell: 'import "./linked.ts";',
    says: /imports .*, which lies neither/,
  },
  "imports-a-broken-file": { cell: 'import "./broken.ts";', says: /broken\.ts/ },
  // ---- a name is written into code ----
  'named";throw new Error("ran");"': { cell: "2", shows: "2" },
  "named, with commas, ünïcode and spaces": { cell: "2", shows: "2" },
};
