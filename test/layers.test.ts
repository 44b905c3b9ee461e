import assert from "node:assert/strict";
import { join, relative, resolve } from "node:path";

// Data flow one way: a stage imports the stages before it in this list, never after.
const stages = [
  "numerics",
  "study",
  "cohort",
  "regression",
  "balance",
  "survival",
  "competing",
  "missing",
  "sensitivity",
  "programme",
  "figures",
  "report",
];
// The simulator stands beside the flow: nothing in lib imports it.
const simulatorMayUse = ["numerics", "study", "cohort"];
// Estimators take plain columns, so that they serve any data.
const plainColumnsOnly = ["regression", "survival", "competing"];

const root = resolve(import.meta.dirname!, "..");

function* typescriptFiles(folder: string): Generator<string> {
  for (const entry of Deno.readDirSync(folder)) {
    const path = join(folder, entry.name);
    if (entry.isDirectory) yield* typescriptFiles(path);
    else if (path.endsWith(".ts")) yield path;
  }
}

function imports(file: string): string[] {
  const source = Deno.readTextFileSync(file);
  return [...source.matchAll(/(?:from|import)\s*\(?\s*"([^"]+)"/g)].map((match) => match[1]!);
}

function* edges(): Generator<{ file: string; from: string; to: string }> {
  for (const file of typescriptFiles(join(root, "lib"))) {
    const from = relative(join(root, "lib"), file).split("/")[0]!;
    if (from.endsWith(".ts")) continue; // lib/mod.ts gathers everything
    for (const specifier of imports(file)) {
      if (!specifier.startsWith(".")) continue;
      const to = relative(join(root, "lib"), resolve(file, "..", specifier)).split("/")[0]!;
      if (to !== from) yield { file: relative(root, file), from, to };
    }
  }
}

Deno.test("stages import only the stages before them", () => {
  let seen = 0;
  for (const { file, from, to } of edges()) {
    seen++;
    const allowed = from === "simulate"
      ? simulatorMayUse.includes(to)
      : stages.indexOf(to) >= 0 && stages.indexOf(to) < stages.indexOf(from);
    assert.ok(allowed, `${file} must not import from lib/${to}`);
  }
  assert.ok(seen > 0, "no import between stages found: is the pattern still right?");
});

Deno.test("estimators know nothing of the study file or the cohort", () => {
  for (const { file, from, to } of edges()) {
    if (!plainColumnsOnly.includes(from)) continue;
    assert.ok(!["study", "cohort", "balance"].includes(to), `${file} must not import lib/${to}`);
  }
});

Deno.test("packages stay where they belong", () => {
  const home: Record<string, RegExp> = {
    danfojs: /^lib\/cohort\/frame\.ts$/,
    zod: /^lib\/(study|cohort|report|simulate)\//,
    linkedom: /^lib\/(figures\/|report\/(safe|print)-svg\.ts$)/,
    "@observablehq/plot": /^lib\/figures\//,
  };
  for (const file of typescriptFiles(join(root, "lib"))) {
    for (const specifier of imports(file)) {
      const allowed = home[specifier];
      const path = relative(root, file);
      if (allowed) assert.match(path, allowed, `${path} must not import ${specifier}`);
    }
  }
});
