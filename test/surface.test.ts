import assert from "node:assert/strict";
import { dirname, join, relative, resolve } from "node:path";
import { parse } from "@babel/parser";
import traverse, { type NodePath } from "@babel/traverse";
import * as mitral from "mitral";
import { cellCode } from "../lib/report/cells/cell-code.ts";
import { codeOf } from "../lib/report/notebooks/notebook.ts";
import { fromFileUrl } from "../lib/report/sandbox/mod.ts";
import { notebooksIn, readNotebooks } from "../lib/report/snapshot/mod.ts";
import { typescriptFiles } from "./source-files.ts";

const root = resolve(import.meta.dirname!, "..");

/** What one file declares at its top, and what each declaration mentions. */
interface FileCode {
  /** Names mentioned by each declaration; "" for statements that run when the file is loaded. */
  mentions: Map<string, Set<string>>;
  /**
   * Local name of what is imported, or name under which it is passed on, to where it comes from.
   */
  from: Map<string, { file: string; name: string }>;
  /** Files of which everything is passed on. */
  whole: string[];
}

function readFile(path: string): FileCode {
  const code: FileCode = { mentions: new Map([["", new Set()]]), from: new Map(), whole: [] };
  const target = (specifier: string) =>
    specifier === "mitral" ? "lib/mod.ts" : relative(root, resolve(dirname(path), specifier));
  const nameOf = (node: { type: string; name?: string; value?: string }) =>
    node.type === "Identifier" ? node.name! : node.value!;
  let own: Set<string>[] = [];
  const enter = (statement: NodePath) => {
    own = [];
    if (statement.isImportDeclaration() || "source" in statement.node && statement.node.source) {
      return;
    }
    const names = Object.keys(statement.getOuterBindingIdentifiers());
    own = (names.length > 0 ? names : [""]).map((name) => {
      const mentions = code.mentions.get(name) ?? new Set();
      code.mentions.set(name, mentions);
      return mentions;
    });
  };
  traverse(parse(Deno.readTextFileSync(path), { sourceType: "module", plugins: ["typescript"] }), {
    ImportDeclaration({ node }) {
      for (const one of node.specifiers) {
        const name = one.type === "ImportSpecifier" ? nameOf(one.imported) : "*";
        code.from.set(one.local.name, { file: target(node.source.value), name });
      }
    },
    ExportAllDeclaration({ node }) {
      code.whole.push(target(node.source.value));
    },
    ExportNamedDeclaration({ node }) {
      if (!node.source) return;
      for (const one of node.specifiers) {
        if (one.type !== "ExportSpecifier") continue;
        const at = { file: target(node.source.value), name: nameOf(one.local) };
        code.from.set(nameOf(one.exported), at);
      }
    },
    // const { name } = await import("address")
    VariableDeclarator({ node: { id, init } }) {
      const loaded = init?.type === "AwaitExpression" ? init.argument : undefined;
      if (loaded?.type !== "ImportExpression" || loaded.source.type !== "StringLiteral") return;
      if (id.type !== "ObjectPattern") return;
      for (const one of id.properties) {
        if (one.type !== "ObjectProperty" || one.value.type !== "Identifier") continue;
        if (one.key.type !== "Identifier") continue;
        const at = { file: target(loaded.source.value), name: one.key.name };
        code.from.set(one.value.name, at);
      }
    },
    Statement(path) {
      if (path.parentPath?.isProgram()) enter(path);
    },
    ReferencedIdentifier(path) {
      if (path.node.type === "Identifier") { for (const set of own) set.add(path.node.name); }
    },
  });
  return code;
}

const files = new Map(
  [...typescriptFiles(join(root, "lib"))].map((path) => [relative(root, path), readFile(path)]),
);

/** The file that declares a name, through as many doors as there are. */
function declaredIn(file: string, name: string): { file: string; name: string } | undefined {
  const code = files.get(file);
  if (!code) return undefined;
  if (code.mentions.has(name)) return { file, name };
  const from = code.from.get(name);
  if (from) return declaredIn(from.file, from.name);
  for (const other of code.whole) {
    const found = declaredIn(other, name);
    if (found) return found;
  }
  return undefined;
}

/** Every declaration that the notebooks' calls and the programs lead to, as "file name". */
async function reached(): Promise<Set<string>> {
  const folder = fromFileUrl(new URL("../notebooks", import.meta.url));
  const { notebooks } = await readNotebooks(await notebooksIn(folder));
  const called = new Set(
    notebooks.flatMap((one) => cellCode(codeOf(one)).flatMap(({ library }) => library)),
  );
  const queue = [...called].map((name) => declaredIn("lib/mod.ts", name)).filter((at) => at);
  for (const file of files.keys()) {
    if (/(cli|-child|worker[^/]*|write-schemas)\.ts$/.test(file)) queue.push({ file, name: "" });
  }
  const seen = new Set<string>();
  for (let at = queue.pop(); at; at = queue.pop()) {
    if (seen.has(`${at.file} ${at.name}`)) continue;
    seen.add(`${at.file} ${at.name}`);
    const { mentions, from } = files.get(at.file)!;
    for (const name of [...mentions.get(at.name) ?? [], ...mentions.get("")!]) {
      const origin = mentions.has(name)
        ? { file: at.file, name }
        : from.has(name)
        ? declaredIn(from.get(name)!.file, from.get(name)!.name)
        : undefined;
      if (origin) queue.push(origin);
    }
  }
  return seen;
}

// Names that the public surface promises to a statistician, whether or not a notebook calls them.
const promised = [
  "chiSquareTest",
  "concordance",
  "conditionalSurvival",
  "confounderBias",
  "doublyRobustSurvival",
  "fisherTest",
  "intervalCensoredSurvival",
  "mcnemarTest",
  "nelsonAalen",
  "permutationTest",
  "rankSumTest",
  "rateRatio",
  "restrictedMeanSurvival",
  "runLength",
  "standardizedRatio",
  "standardizedSurvival",
  "welchTest",
];

// For notebooks of a reader's own: each with what it is for. A name that is used since
// fails the test.
const forOwnNotebooks: Record<string, string> = {
  bootstrap: "limits of any statistic of one's own",
  distributionDistance: "two whole distributions, weighted or not; tables ask for several at once",
  kolmogorovSmirnovTest: "two whole distributions, as older papers compare them",
  optimism: "a model of one's own, corrected for having been made from the same patients",
  ordinalRegression: "a grade of leak as an outcome with an order",
  otherTable: "a table of one's own beside the study's",
  pairedOutcome: "matched pairs at one time, as older papers compare them",
  patientsWhere: "a further restriction: notebook 01 tells how",
  pairedTest: "a measurement before and after, in the same patients",
  rematcher: "a statistic of one's own, matching anew in every replicate",
  reweighter: "a statistic of one's own, weighting anew in every replicate",
  riskRatioFromHazardRatio: "what eValue asks for where the outcome is common",
  riskRatioFromOddsRatio: "what eValue asks for where the outcome is common",
  signedRankBounds: "hidden bias of a measurement in pairs, as rosenbaumBounds of an event",
  summaryOf: "a look at a data frame of one's own",
  withCovariate: "a further covariate: notebook 01 tells how",
};

// Workers import the file by its address and call it by its name.
const calledByAddress = ["procedureStatistic", "rematchColumns", "reweightColumns"];

Deno.test("what is exported is used, promised, or there for a reason", async () => {
  const seen = await reached();
  assert.ok(seen.size > 2000, "hardly anything is reached: are the names still read right?");
  const unused = Object.entries(mitral).filter(([name, value]) => {
    if (typeof value !== "function") return false;
    const at = declaredIn("lib/mod.ts", name);
    assert.ok(at, `${name} is exported by lib/mod.ts, and no file of lib declares it`);
    return !seen.has(`${at.file} ${at.name}`);
  }).map(([name]) => name);
  const allowed = new Set([...promised, ...Object.keys(forOwnNotebooks), ...calledByAddress]);
  const what = "exported and used by no notebook: show it, take it out of the stage's mod.ts, or " +
    "say in test/surface.test.ts what it is for";
  const without = unused.filter((name) => !allowed.has(name));
  assert.deepEqual(without, [], `${without.join(", ")}: ${what}`);
  const needless = [...allowed].filter((name) => !unused.includes(name));
  assert.deepEqual(
    needless,
    [],
    `${needless.join(", ")}: used or gone; take it off the list in test/surface.test.ts`,
  );
});
