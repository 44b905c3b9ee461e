import assert from "node:assert/strict";
import { join } from "node:path";
import * as mitral from "mitral";
import { libraryTypes } from "../../../lib/report/declarations/mod.ts";
import { checkCommand, quickCheckCommand } from "../../../lib/report/guest/mod.ts";
import { projectFolder } from "../../../lib/report/sandbox/mod.ts";
import { notebookModule, parseNotebook, typeCheck } from "../../../lib/report/notebooks/mod.ts";
import { libraryHash } from "../../../lib/report/snapshot/hash.ts";
import { sha256 } from "../../../lib/numerics/memory/mod.ts";
import { notebooksIn, readNotebooks } from "../../../lib/report/snapshot/mod.ts";
import { makeNotebook } from "../notebooks/make-notebook.ts";

const folder = await Deno.makeTempDir();
const lock = sha256(await Deno.readTextFile(join(projectFolder, "deno.lock")));
const types = await libraryTypes({ library: libraryHash(), lock, make: true });
assert.ok(types);
const { deno, quick, ownTypes } = types;
let scripts = 0;

/** A module with a block a line, each below the other; its path. */
async function written(code: readonly string[]): Promise<string> {
  const path = join(folder, `${++scripts}.ts`);
  const blocks = ['import * as mitral from "mitral";', ...code.map((line) => `{ ${line} }`)];
  await Deno.writeTextFile(path, blocks.join("\n"));
  return path;
}

/** What the compiler refuses in code, line by line; with `settings`, of the declared types. */
async function refused(code: readonly string[], settings?: string): Promise<string[]> {
  await written(code);
  const script = join(folder, `check-${scripts}.ts`);
  await Deno.writeTextFile(script, `import type {} from "./${scripts}.ts";\n`);
  const { stderr } = await checkCommand(script, settings).output();
  const mine = new RegExp(`at \\S*/${scripts}\\.ts:`);
  const words = new TextDecoder().decode(stderr).split("\n");
  return words.filter((line) => /^(TS\d+|error:)/.test(line) || mine.test(line))
    .map((line) => line.replace(/\S*\/\d+\.ts:/, "line ").replace(/"file:[^"]*"/, '"library"'));
}

/** The places, as line and column, at which the quick program refuses code, line by line. */
async function refusedQuickly(code: readonly string[]): Promise<string[]> {
  const path = await written(code);
  const { success, stdout } = await checkedQuickly([path]);
  const mine = new RegExp(`^\\S*${scripts}\\.ts\\((\\d+),(\\d+)\\): error`, "gm");
  const places = [...stdout.matchAll(mine)].map(([, line, column]) => `${line}:${column}`);
  assert.equal(success, places.length === 0, stdout);
  return places;
}

async function checkedQuickly(paths: readonly string[]) {
  const settings = join(folder, "check.json");
  const content = { extends: quick, files: [ownTypes, ...paths] };
  await Deno.writeTextFile(settings, JSON.stringify(content));
  const { success, stdout, stderr } = await quickCheckCommand(settings).output();
  assert.equal(new TextDecoder().decode(stderr), "");
  return { success, stdout: new TextDecoder().decode(stdout) };
}

Deno.test("the library's types are declared, once for all runs of one library", async () => {
  const again = await libraryTypes({ library: libraryHash(), lock, make: false });
  assert.deepEqual(again, types);
  assert.equal(await libraryTypes({ library: "another", lock, make: false }), undefined);
});

Deno.test("every notebook of the project holds against the declared types", async () => {
  const { notebooks } = await readNotebooks(await notebooksIn(join(projectFolder, "notebooks")));
  const sources = notebooks.map((notebook) => {
    const result = notebookModule(notebook);
    assert.ok("module" in result);
    return result.module.source;
  });
  for (const [index, source] of sources.entries()) {
    await Deno.writeTextFile(join(folder, `notebook-${index}.ts`), source);
  }
  const paths = sources.map((_, index) => join(folder, `notebook-${index}.ts`));
  assert.deepEqual(await checkedQuickly(paths), { success: true, stdout: "" });
  const script = join(folder, "check-notebooks.ts");
  const lines = sources.map((_, index) => `import type {} from "./notebook-${index}.ts";\n`);
  await Deno.writeTextFile(script, lines.join(""));
  const { success, stderr } = await checkCommand(script, deno).output();
  assert.ok(success, new TextDecoder().decode(stderr));
});

Deno.test("nothing that the library gives is declared to be anything at all", async () => {
  // identity: the same holds of the code itself
  const functions = Object.entries(mitral).filter(([, value]) => typeof value === "function");
  const isAny = "type IsAny<T> = 0 extends 1 & T ? true : false;";
  const checks = Object.keys(mitral).map((name) =>
    `const a: IsAny<typeof mitral.${name}> = false;`
  );
  const results = functions.filter(([, value]) => !/^class/.test(String(value))).map(([name]) =>
    `const a: IsAny<Awaited<ReturnType<typeof mitral.${name}>>> = false;
const b: IsAny<Parameters<typeof mitral.${name}>[number]> = false;`
  );
  assert.ok(results.length > 200);
  const code = [...checks, ...results].map((line) => `${isAny} ${line}`);
  assert.deepEqual(await refused(code), []);
  assert.deepEqual(await refused(code, deno), []);
  assert.deepEqual(await refusedQuickly(code), []);
  const any = [`${isAny} const a: IsAny<any> = false;`];
  assert.notDeepEqual(await refused(any), []);
  assert.notDeepEqual(await refusedQuickly(any), []);
});

Deno.test("what the compiler refuses of code it refuses of declared types, in the same words", async () => {
  // by hand
  const wrong = [
    "const { studies } = await mitral.openAnalysis();",
    "const { study } = await mitral.openAnalysis(); const seed: string = study.seed;",
    "const { study } = mitral.openAnalysis();",
    "const { analysis } = await mitral.openAnalysis(); mitral.followUpOf(analysis, 5);",
    "const { analysis } = await mitral.openAnalysis(); mitral.followUpOf(analysis);",
    'mitral.note({ id: "a", about: "sumary", text: "One." });',
    'mitral.table({ id: "a", title: "A", columns: [{ key: "x" }], rows: 3 });',
    "mitral.kaplanMeyer({ time: [1], event: [1] });",
    "mitral.formatNumber('1');",
    "const { horizons } = await mitral.openAnalysis(); horizons.at(0).toFixed(1);",
    'const plan: mitral.Study = { title: "A" };',
    "throw new mitral.DataError(1, 2, 3, 4, 5, 6, 7);",
  ];
  const said = await refused(wrong, deno);
  assert.deepEqual(said, await refused(wrong));
  const places = said.flatMap((line) => /line (\d+:\d+)/.exec(line)?.[1] ?? []);
  assert.deepEqual(await refusedQuickly(wrong), places);
  for (const [index, code] of wrong.entries()) {
    // the first line is the import
    assert.ok(said.some((line) => line.includes(`line ${index + 2}:`)), code);
  }
});

Deno.test("what Deno declares as Node does is for Deno's compiler to judge", async () => {
  const cell = 'import * as mitral from "mitral";\nconst timer: number = setTimeout(() => {}, 1);';
  const notebook = parseNotebook(makeNotebook([cell]), { id: "a", folder: "file:///nowhere/" });
  const result = notebookModule(notebook);
  assert.ok("module" in result);
  const path = join(folder, "timer.ts");
  await Deno.writeTextFile(path, result.module.source);
  const imports = { failures: [], reached: new Map() };
  const file = { module: result.module, path };
  const [failure] = await typeCheck([file], { folder }, imports, types);
  assert.match(failure?.message ?? "", /'Timeout' is not assignable to type 'number'/);
});

Deno.test("a mistake is told under declared types as it is without, and where they are gone as well", async () => {
  // by hand
  const files = await Promise.all(["studies", "study"].map(async (name, index) => {
    const cell =
      `import * as mitral from "mitral";\nconst { ${name} } = await mitral.openAnalysis();`;
    const notebook = parseNotebook(makeNotebook([cell]), { id: name, folder: "file:///nowhere/" });
    const result = notebookModule(notebook);
    assert.ok("module" in result);
    const path = join(folder, `mistaken-${index}.ts`);
    await Deno.writeTextFile(path, result.module.source);
    return { module: result.module, path };
  }));
  const imports = { failures: [], reached: new Map() };
  const message = "TypeScript 2339: Property 'studies' does not exist on type 'OpenedAnalysis'.";
  const gone = join(folder, "gone", "deno.json");
  const places = [types, { ...types, quick: gone }, { ...types, quick: gone, deno: gone }];
  for (const place of [...places, undefined]) {
    assert.deepEqual(await typeCheck(files, { folder }, imports, place), [
      { notebook: "studies", cell: 1, line: 2, stage: "types", message },
    ]);
  }
});

addEventListener("unload", () => Deno.removeSync(folder, { recursive: true }));
