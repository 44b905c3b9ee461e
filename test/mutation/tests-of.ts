import { dirname, join } from "node:path";
import { typescriptFiles } from "../source-files.ts";

/**
 * The test files that name what a source file exports, or what the files of its room that use it
 * export: those that should notice a change to it.
 */
export function testsOf(root: string, file: string): string[] {
  const names = new Set(exportsOf(root, file));
  const used = new Set([file]);
  // a kernel is tested through the functions of its room that call it
  for (let grew = true; grew;) {
    grew = false;
    for (const path of typescriptFiles(join(root, dirname(file)))) {
      const other = path.slice(root.length + 1);
      if (used.has(other) || other.endsWith("/mod.ts")) continue;
      const source = Deno.readTextFileSync(path);
      const uses = [...used].some((one) => source.includes(`"./${one.split("/").at(-1)}"`));
      if (!uses) continue;
      used.add(other);
      for (const name of exportsOf(root, other)) names.add(name);
      grew = true;
    }
  }
  const wanted = new RegExp(`\\b(${[...names].join("|")})\\b`);
  return [...typescriptFiles(join(root, "test"))].filter((path) =>
    path.endsWith(".test.ts") && !slow.test(path) && wanted.test(Deno.readTextFileSync(path))
  );
}

// whole reports and thousands of files: they notice everything, an hour late
const slow = /whole-reports|audit\.test|fuzz|sandbox|command-line|\/calibration\/|\/mutation\//;

function exportsOf(root: string, file: string): string[] {
  const source = Deno.readTextFileSync(join(root, file));
  return [...source.matchAll(/^export (?:async )?(?:function\*?|const|class) (\w+)/gm)]
    .map((match) => match[1]!);
}
