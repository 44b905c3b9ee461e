import { dirname, join } from "node:path";
import { typescriptFiles } from "../source-files.ts";

/** The imports of files that were read: every file is looked at many times. */
const imports = new Map<string, string>();

/**
 * The test files that should notice a change to a source file, the nearest first: they name what it
 * exports, or what the files that use it export.
 *
 * A kernel is tested through the functions that call it: its room's first, then, where that leaves
 * few tests, those of other rooms. Where nothing names it, the tests of its stage are asked.
 */
export function testsOf(root: string, file: string, most: number): string[] {
  const tests = [...typescriptFiles(join(root, "test"))].filter((path) =>
    path.endsWith(".test.ts") && !slow.test(path)
  ).map((path) => ({ path, taken: importsOf(path) }));
  const found = new Set<string>();
  const used = new Set([file]);
  const names = new Set(exportsOf(root, file));
  const room = [...typescriptFiles(join(root, dirname(file)))];
  const everywhere = [...typescriptFiles(join(root, "lib"))];
  for (const others of [[], room, room, everywhere, everywhere]) {
    for (const path of usersOf(names, others)) {
      const other = path.slice(root.length + 1);
      if (used.has(other) || other.endsWith("mod.ts")) continue;
      used.add(other);
      for (const name of exportsOf(root, other)) names.add(name);
    }
    if (names.size === 0) continue;
    const wanted = word(names);
    const next = tests.filter(({ path, taken }) => !found.has(path) && wanted.test(taken));
    for (const { path } of next) found.add(path);
    if (others === everywhere && found.size > 0 || found.size >= most) break;
  }
  const stage = join(root, "test", file.split("/")[1]!);
  if (found.size === 0) {
    tests.filter(({ path }) => path.startsWith(stage)).forEach(({ path }) => found.add(path));
  }
  return [...found].sort((a, b) => likeness(b, file) - likeness(a, file)).slice(0, most);
}

function usersOf(names: Set<string>, paths: string[]): string[] {
  if (names.size === 0) return [];
  const wanted = word(names);
  return paths.filter((path) => wanted.test(importsOf(path)));
}

function importsOf(path: string): string {
  const read = () => {
    const source = Deno.readTextFileSync(path);
    return [...source.matchAll(/^import [^;]*;/gm)].map(([statement]) => statement).join("\n");
  };
  const known = imports.get(path) ?? read();
  imports.set(path, known);
  return known;
}

const word = (names: Set<string>) => new RegExp(`\\b(${[...names].join("|")})\\b`);

/** Words that a test's path has in common with a source file's. */
export function likeness(test: string, file: string): number {
  const own = new Set(file.replace(/\.ts$/, "").split(/[/-]/));
  return test.replace(/\.test\.ts$/, "").split(/[/-]/).filter((part) => own.has(part)).length;
}

// whole reports and thousands of files: they notice everything, an hour late
const slow =
  /whole-reports|\.long\.|other-cohorts|demo-report|audit\.|surgeons-shown|pipes|fuzz|sandbox|attacks|command-line|killed|own-notebooks|snapshot|injection|report\/report\.test|\/(mutation|packages)\//;

function exportsOf(root: string, file: string): string[] {
  const source = Deno.readTextFileSync(join(root, file));
  return [...source.matchAll(/^export (?:async )?(?:function\*?|const|class) (\w+)/gm)]
    .map((match) => match[1]!);
}
