import { posix } from "node:path";
import { declareCommand } from "../guest/mod.ts";
import { projectFolder } from "../sandbox/mod.ts";
import { dirname, join, toFileUrl } from "../notebooks/mod.ts";
import { filesWithin } from "../snapshot/mod.ts";

/** What a notebook's module imports, as paths in the project: the library, and its runner's own. */
export const entries = { library: "lib/mod.ts", runtime: "lib/report/guest/runtime.ts" };

/** Where the types of a file of the library are declared. */
export function declaredIn(path: string): string {
  return path.replace(/\.ts$/, ".d.ts");
}

/** The project's settings, as far as they matter to the compiler. */
export async function compilerSettings(): Promise<Settings> {
  const { imports, compilerOptions, nodeModulesDir } = JSON.parse(
    await Deno.readTextFile(join(projectFolder, "deno.json")),
  );
  return { imports, compilerOptions, nodeModulesDir };
}

interface Settings {
  imports: Record<string, string>;
  compilerOptions: Record<string, unknown>;
  nodeModulesDir: string;
}

/**
 * Has the compiler check the library and declare the types of all that a notebook can reach.
 *
 * @param folder Where it works; the folder is not there yet.
 * @returns The text of each declaration file by its path, such as `lib/mod.d.ts`; undefined where
 * the compiler finds fault with the library or declares nothing.
 */
export async function makeDeclarations(folder: string): Promise<Map<string, string> | undefined> {
  await copyProject(folder);
  const { success } = await declareCommand(folder, Object.values(entries), out).output();
  if (!success) return undefined;
  const known = new Set(filesWithin(join(folder, out, "lib")).map((path) => `lib/${path}`));
  // how the compiler names a type that the file itself does not import
  const root = toFileUrl(await Deno.realPath(folder)).href;
  const texts = new Map<string, string>();
  const queue = Object.values(entries).map(declaredIn);
  for (let path = queue.pop(); path !== undefined; path = queue.pop()) {
    if (texts.has(path)) continue;
    const from = posix.dirname(path);
    const whole = await Deno.readTextFile(join(folder, out, path));
    const text = whole.replace(/^\/\/\/ <amd-module .*\n/, "");
    texts.set(
      path,
      text.replace(specifiers, (whole, before: string, specifier: string) => {
        const named = specifier.startsWith(`${root}/`)
          ? specifier.slice(root.length + 1)
          : posix.join(from, specifier);
        const target = declaredIn(named);
        if (!known.has(target)) return whole; // in a comment
        queue.push(target);
        const near = posix.relative(from, target);
        return `${before}"${near.startsWith(".") ? near : `./${near}`}"`;
      }),
    );
  }
  return texts;
}

/** Makes the folders that some files are to lie in. */
export async function makeFolders(folder: string, paths: Iterable<string>): Promise<void> {
  const folders = new Set([...paths].map((path) => dirname(join(folder, path))));
  for (const path of folders) await Deno.mkdir(path, { recursive: true });
}

const out = "declared";

/** `from "./file.ts"` and `import("file:///…/file.ts")`. */
const specifiers = /(\bfrom\s*|\bimport\s*\(\s*)"((?:\.|file:)[^"]*\.ts)"/g;

/**
 * The library with settings under which it can be declared: the compiler takes those of the folder
 * that the code lies in, and looks into the types of packages and of Deno's own, where what a
 * browser has is named twice.
 */
async function copyProject(folder: string): Promise<void> {
  const { compilerOptions, ...settings } = await compilerSettings();
  const paths = filesWithin(join(projectFolder, "lib")).map((path) => `lib/${path}`);
  await makeFolders(folder, paths);
  await Promise.all(
    [...paths, "deno.lock", "package.json"].map((path) =>
      Deno.copyFile(join(projectFolder, path), join(folder, path))
    ),
  );
  const options = {
    ...compilerOptions,
    lib: ["esnext", "dom", "dom.iterable", "deno.ns"],
    skipLibCheck: true,
  };
  const config = { ...settings, compilerOptions: options };
  await Deno.writeTextFile(join(folder, "deno.json"), JSON.stringify(config));
}
