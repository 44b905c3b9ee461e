import assert from "node:assert/strict";
import { relative } from "node:path";
import * as mitral from "mitral";
import { projectFolder } from "../lib/report/sandbox/mod.ts";
import { typescriptFiles } from "./source-files.ts";

// Every example of a doc comment runs as it stands: it imports what it uses, and nothing is
// imported for it. One marked `ignore` takes files, minutes or results of a whole study: only what
// it imports is looked at.

const block = /^( *)\* ```ts( ignore)?\n([\s\S]*?)^ *\* ```/gm;

interface Example {
  where: string;
  code: string;
  runs: boolean;
}

function examplesOf(path: string): Example[] {
  const source = Deno.readTextFileSync(path);
  return [...source.matchAll(block)].map(([, , ignored, lines = ""], index) => ({
    where: `${relative(projectFolder, path)}, example ${index + 1}`,
    code: lines.split("\n").map((line) => line.replace(/^ *\* ?/, "")).join("\n"),
    runs: ignored === undefined,
  }));
}

const examples = [...typescriptFiles(`${projectFolder}/lib`)].flatMap(examplesOf);

Deno.test("examples import from mitral what it exports, and most of them run", () => {
  assert.ok(examples.length > 150, "hardly any example found: is the pattern still right?");
  const ignored = examples.filter(({ runs }) => !runs).length;
  assert.ok(ignored < examples.length / 3, `${ignored} are marked ignore: let them run`);
  for (const { where, code } of examples) {
    for (const [, names = ""] of code.matchAll(/import \{([^}]*)\} from "mitral"/g)) {
      for (const name of names.split(",").map((one) => one.trim())) {
        assert.ok(name === "" || name.startsWith("type ") || name in mitral, `${where}: ${name}`);
      }
    }
  }
});

for (const { where, code, runs } of examples) {
  if (!runs) continue;
  Deno.test(`${where} runs`, async () => {
    const { log } = console;
    console.log = () => {};
    try {
      await import(`data:application/typescript,${encodeURIComponent(code)}`);
    } catch (error) {
      const what = "let it import what it uses, or mark it `ts ignore` where it takes minutes";
      throw new Error(`${where}: ${what}`, { cause: error });
    } finally {
      console.log = log;
    }
  });
}
