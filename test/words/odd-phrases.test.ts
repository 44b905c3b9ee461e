// The phrases that readers stumbled over are gone from every word they see.
import assert from "node:assert/strict";
import { join, resolve } from "node:path";
import { walkSync } from "../report/walk.ts";
import { oddIn } from "./odd-phrases.ts";

const root = resolve(import.meta.dirname!, "../..");

const remedy = "reword it where it is written; the phrases are in test/words/odd-phrases.ts";

/** The words in a program's strings, each string by itself; comments are for programmers. */
function stringsOf(source: string): string[] {
  const code = source.replace(/\/\*[\s\S]*?\*\//g, "").replace(/(^|\s)\/\/.*$/gm, "$1");
  return [...code.matchAll(/"((?:[^"\\\n]|\\.)*)"|`((?:[^`\\]|\\.)*)`/g)]
    .map((found) => (found[1] ?? found[2] ?? "").replace(/\s+/g, " "));
}

Deno.test("the list of odd phrases finds each of them", () => {
  // by hand: sentences that stood in the report
  assert.deepEqual(oddIn("Matched pairs, speaking of those matched"), ["speaks of"]);
  assert.deepEqual(oddIn("Empty: would tell of too few patients"), ["tells of"]);
  assert.deepEqual(oddIn("The range holds both no difference and one"), ["holds, for includes"]);
  assert.deepEqual(oddIn("Where the line came from"), ["line, for cut-off"]);
  assert.deepEqual(oddIn("Who did not reach it is counted."), ["who, for patients who"]);
  assert.deepEqual(oddIn("valve failure: 10% with with ablation"), ["a word twice"]);
  assert.deepEqual(oddIn("settled between with ablation and without ablation"), []);
  assert.deepEqual(oddIn("Who was studied"), []);
  assert.deepEqual(oddIn("Who was left out?"), []);
});

Deno.test("no string of the library has an odd phrase", () => {
  const found: string[] = [];
  let read = 0;
  for (const [path, source] of walkSync("lib")) {
    for (const text of stringsOf(source)) {
      read++;
      for (const name of oddIn(text)) found.push(`${path}: ${name}: ${text.slice(0, 120)}`);
    }
  }
  assert.ok(read > 1000);
  assert.deepEqual(found, [], `${found.join("\n")}\n${remedy}`);
});

Deno.test("no cell of a notebook and no plan of the demonstration has an odd phrase", () => {
  const found: string[] = [];
  for (const entry of Deno.readDirSync(join(root, "notebooks"))) {
    if (!entry.name.endsWith(".ipynb")) continue;
    const { cells } = JSON.parse(Deno.readTextFileSync(join(root, "notebooks", entry.name)));
    for (const { cell_type, source } of cells) {
      const text = [source].flat().join("");
      const texts = cell_type === "markdown" ? [text.replace(/\s+/g, " ")] : stringsOf(text);
      for (const one of texts) {
        for (const name of oddIn(one)) found.push(`${entry.name}: ${name}: ${one.slice(0, 120)}`);
      }
    }
  }
  for (const entry of Deno.readDirSync(join(root, "data-demo"))) {
    if (!/^study.*\.json$/.test(entry.name)) continue;
    const text = Deno.readTextFileSync(join(root, "data-demo", entry.name));
    for (const one of stringsOf(text)) {
      for (const name of oddIn(one)) found.push(`${entry.name}: ${name}: ${one.slice(0, 120)}`);
    }
  }
  assert.deepEqual(found, [], `${found.join("\n")}\n${remedy}`);
});
