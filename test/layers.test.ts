import assert from "node:assert/strict";
import { dirname, join, relative, resolve } from "node:path";
import { typescriptFiles } from "./source-files.ts";

// Data flow one way: a stage imports the stages before it in this list, never after.
const stages = [
  "numerics",
  "words",
  "disclosure",
  "study",
  "cohort",
  "regression",
  "balance",
  "survival",
  "competing",
  "missing",
  "sensitivity",
  "comparisons",
  "programme",
  "figures",
  "report",
];
// The simulator stands beside the flow: nothing in lib imports it.
const simulatorMayUse = ["numerics", "words", "disclosure", "study", "cohort"];
// Estimators take plain columns, so that they serve any data.
const plainColumnsOnly = ["regression", "survival", "competing"];
// A room with more files, or a file with more lines, is one that nobody finds anything in. Where it
// cannot be otherwise, the room's mod.ts gives the reason after these words.
const mostFiles = 15;
const mostLines = 300;
const reason = /More than (15 files|300 lines) because /;

const { fmt }: { fmt: { lineWidth: number } } = JSON.parse(
  Deno.readTextFileSync(new URL("../deno.json", import.meta.url)),
);
const margin = fmt.lineWidth;

const root = resolve(import.meta.dirname!, "..");

// What a reader finds on opening the folder; besides it only what begins with a point, packages and
// reports.
const topLevel = [
  "DEVELOPERS.md",
  "LICENSE",
  "README.md",
  "data-demo",
  "deno.json",
  "deno.lock",
  "lib",
  "notebooks",
  "package.json",
  "test",
];

function imports(file: string): string[] {
  const source = Deno.readTextFileSync(file);
  return [...source.matchAll(/(?:from|import)\s*\(?\s*"([^"]+)"/g)].map((match) => match[1]!);
}

interface Edge {
  file: string;
  target: string;
  /** Folders, as `lib/cohort/file`; a room is a folder. */
  room: string;
  toRoom: string;
}

/**
 * Imports of one room from another; `lib/mod.ts` and the doors of stages gather, and are left out.
 */
function* edges(): Generator<Edge> {
  for (const path of typescriptFiles(join(root, "lib"))) {
    const file = relative(root, path);
    const room = dirname(file);
    if (file === "lib/mod.ts" || isStageDoor(file)) continue;
    for (const specifier of imports(path)) {
      if (!specifier.startsWith(".")) continue;
      const target = relative(root, resolve(path, "..", specifier));
      if (dirname(target) !== room) yield { file, target, room, toRoom: dirname(target) };
    }
  }
}

const stageOf = (room: string) => room.split("/")[1]!;
const hasRooms = (stage: string) =>
  [...Deno.readDirSync(join(root, "lib", stage))].some(({ isDirectory }) => isDirectory);

function isStageDoor(file: string): boolean {
  const [, stage, name, ...rest] = file.split("/");
  return name === "mod.ts" && rest.length === 0 && hasRooms(stage!);
}

Deno.test("stages import only the stages before them", () => {
  let seen = 0;
  for (const { file, room, toRoom } of edges()) {
    const [from, to] = [stageOf(room), stageOf(toRoom)];
    if (from === to) continue;
    seen++;
    const allowed = from === "simulate"
      ? simulatorMayUse.includes(to)
      : stages.indexOf(to) >= 0 && stages.indexOf(to) < stages.indexOf(from);
    assert.ok(
      allowed,
      `${file} must not import from lib/${to}: the order is in test/layers.test.ts`,
    );
  }
  assert.ok(seen > 0, "no import between stages found: is the pattern still right?");
});

Deno.test("every stage is on the list", () => {
  for (const entry of Deno.readDirSync(join(root, "lib"))) {
    if (!entry.isDirectory || entry.name === "simulate") continue;
    assert.ok(
      stages.includes(entry.name),
      `lib/${entry.name}: add it to \`stages\` in test/layers.test.ts`,
    );
  }
});

Deno.test("rooms are entered by their doors", () => {
  for (const { file, target } of edges()) {
    assert.match(target, /\/mod\.ts$/, `${file} must import from the mod.ts beside ${target}`);
  }
});

Deno.test("no rooms import each other in a circle", () => {
  const next = new Map<string, Set<string>>();
  for (const { room, toRoom } of edges()) {
    if (!next.has(room)) next.set(room, new Set());
    next.get(room)!.add(toRoom);
  }
  const done = new Set<string>();
  const walk = (room: string, way: string[]) => {
    const seen = way.indexOf(room);
    assert.equal(seen, -1, `a circle: ${[...way.slice(seen), room].join(" -> ")}`);
    if (done.has(room)) return;
    for (const to of next.get(room) ?? []) walk(to, [...way, room]);
    done.add(room);
  };
  for (const room of next.keys()) walk(room, []);
  assert.ok(done.size > 40, "hardly any room found: is the pattern still right?");
});

Deno.test("every room has a door and is small enough to find something in", () => {
  const rooms = Map.groupBy(
    [...typescriptFiles(join(root, "lib"))].map((path) => relative(root, path)),
    (file) => dirname(file),
  );
  for (const [room, files] of rooms) {
    assert.ok(files.includes(join(room, "mod.ts")), `${room} has no mod.ts`);
    const enough = files.length <= mostFiles || hasReason(room);
    assert.ok(enough, `${room} has ${files.length} files: divide it, or say in its mod.ts why not`);
  }
});

const hasReason = (room: string) => reason.test(Deno.readTextFileSync(join(root, room, "mod.ts")));

Deno.test("no file of the library is longer than a reader follows", () => {
  const files = [...typescriptFiles(join(root, "lib"))].map((path) => relative(root, path));
  for (const file of files) {
    const lines = Deno.readTextFileSync(join(root, file)).split("\n").length - 1;
    const enough = lines <= mostLines || hasReason(dirname(file));
    assert.ok(
      enough,
      `${file} has ${lines} lines: divide it, or say in the mod.ts beside it why not`,
    );
  }
});

/** Lines of comments past the margin; a table, an address and an example stay as they are. */
function* longComments(text: string): Generator<number> {
  let example = false;
  for (const [i, line] of text.split("\n").entries()) {
    const words = /^\s*(?:\/\/|\/?\*+) (.*)/.exec(line)?.[1];
    if (words === undefined) continue;
    if (words.startsWith("```")) example = !example;
    const stays = example || words.startsWith("|") || /https?:\S+$/.test(words);
    if (!stays && [...line].length > margin) yield i + 1;
  }
}

Deno.test("comments keep to the margin of the code", () => {
  assert.deepEqual([...longComments(`// ${"a".repeat(margin)}\n// a`)], [1]);
  for (const path of ["lib", "test"].flatMap((name) => [...typescriptFiles(join(root, name))])) {
    for (const line of longComments(Deno.readTextFileSync(path))) {
      assert.fail(`${relative(root, path)}:${line}: wrap this comment at ${margin} characters`);
    }
  }
});

Deno.test("estimators know nothing of the study file or the cohort", () => {
  for (const { file, room, toRoom } of edges()) {
    if (!plainColumnsOnly.includes(stageOf(room))) continue;
    const to = stageOf(toRoom);
    assert.ok(!["study", "cohort", "balance"].includes(to), `${file} must not import lib/${to}`);
  }
});

Deno.test("packages stay where they belong", () => {
  const home: Record<string, RegExp> = {
    danfojs: /^lib\/cohort\/analysis\/frame\.ts$/,
    jstat: /^lib\/numerics\/algebra\/summaries\.ts$/,
    "simple-statistics": /^lib\/numerics\/algebra\/summaries\.ts$/,
    zod: /^lib\/(study|cohort|report|simulate)\//,
    linkedom: /^lib\/figures\//,
    "@observablehq/plot": /^lib\/figures\//,
  };
  for (const path of typescriptFiles(join(root, "lib"))) {
    for (const specifier of imports(path)) {
      const allowed = home[specifier];
      const file = relative(root, path);
      if (allowed) {
        assert.match(
          file,
          allowed,
          `${file} must not import ${specifier}: see test/layers.test.ts`,
        );
      }
    }
  }
});

Deno.test("tests are as easy to find something in as the library", () => {
  const files = [...typescriptFiles(join(root, "test"))].map((path) => relative(root, path));
  for (const [folder, inside] of Map.groupBy(files, (file) => dirname(file))) {
    const n = inside.length;
    assert.ok(n <= mostFiles, `${folder} has ${n} files: divide it as the library's rooms are`);
  }
  for (const file of files) {
    const lines = Deno.readTextFileSync(join(root, file)).split("\n").length - 1;
    assert.ok(lines <= mostLines, `${file} has ${lines} lines: divide it by what it tests`);
  }
});

Deno.test("the top level has what a reader expects there, and nothing else", () => {
  const names = [...Deno.readDirSync(root)].map(({ name }) => name)
    .filter((name) => !name.startsWith(".") && name !== "out" && name !== "node_modules");
  assert.deepEqual(names.sort(), topLevel);
});
