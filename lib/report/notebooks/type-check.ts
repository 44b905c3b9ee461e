import { checkCommand, quickCheckCommand } from "../guest/mod.ts";
import { projectFolder } from "../sandbox/mod.ts";
import type { Imports } from "./imported-files.ts";
import type { NotebookModule } from "./module.ts";
import { type NotebookFailure, withoutAdvice } from "./notebook.ts";
import { basename, join, toFileUrl } from "./paths.ts";

/** A notebook's module and the file it was written to. */
export interface ModuleFile {
  module: NotebookModule;
  path: string;
}

/** Where modules are checked. */
export interface CheckPlaces {
  /** Where the script that names the modules is written, beside them. */
  folder: string;
  /** The notebooks' own folders, from which they may import. */
  own: readonly string[];
}

/** Settings under which the library is its types, declared without code. */
export interface LibraryTypes {
  /** Path of the settings for Deno's compiler. */
  deno: string;
  /** Path of those for the compiler's own program. */
  quick: string;
  /** Path of the types of what Deno itself gives, which that program is to be told of. */
  ownTypes: string;
}

/**
 * Type-checks all modules in one pass of the compiler. Where the library's types are declared, they
 * are first held against those by the program that is quickest; only what it does not pass is
 * looked at by Deno's own compiler, whose verdict counts and whose words are told.
 *
 * @param imports What {@link followImports} found: a notebook that fails there is not looked at.
 * @param types The library's declared types, where there are such; a fault that lies in them is
 * none of the notebooks, which are then held against the code.
 * @returns The first failure of each other notebook that has one.
 * @throws {Error} Where the fault lies outside the notebooks, with the compiler's text.
 */
export async function typeCheck(
  files: readonly ModuleFile[],
  { folder }: Pick<CheckPlaces, "folder">,
  { failures: escapes, reached }: Imports,
  types?: LibraryTypes,
): Promise<NotebookFailure[]> {
  const failures: NotebookFailure[] = [];
  const without = (found: readonly NotebookFailure[], from: readonly ModuleFile[]) =>
    from.filter(({ module }) => !found.some(({ notebook }) => notebook === module.id));
  let remaining = without(escapes, files);
  if (types && remaining.length > 0 && await passes(remaining, folder, types)) return failures;
  let library = types?.deno;
  while (remaining.length > 0) {
    const text = await complaints(remaining, folder, library);
    if (text === undefined) return failures;
    let found = remaining.flatMap((file) => firstDiagnostic(text, file) ?? []);
    if (found.length === 0 && library !== undefined) {
      library = undefined;
      continue;
    }
    if (found.length === 0) found = blamed(text, remaining, reached);
    if (found.length === 0) throw new Error(`Cannot check the notebooks:\n${text.trim()}`);
    failures.push(...found);
    // an import that cannot be loaded hides what comes after it, so look again without its notebook
    remaining = without(found, remaining);
  }
  return failures;
}

/** What Deno declares as Node does, of whose types the quick program knows nothing. */
const asInNode = /\bset(?:Timeout|Interval|Immediate)\b/;

/** Whether the quick program finds nothing wrong; false also where this system has none. */
async function passes(
  files: readonly ModuleFile[],
  folder: string,
  { quick, ownTypes }: LibraryTypes,
): Promise<boolean> {
  if (files.some(({ module }) => asInNode.test(module.source))) return false;
  const settings = join(folder, "check-types.json");
  const content = { extends: quick, files: [ownTypes, ...files.map(({ path }) => path)] };
  await Deno.writeTextFile(settings, JSON.stringify(content));
  return (await quickCheckCommand(settings).output()).success;
}

/** What the compiler says of some modules; undefined where it finds nothing wrong. */
async function complaints(
  files: readonly ModuleFile[],
  folder: string,
  settings?: string,
): Promise<string | undefined> {
  const script = join(folder, "check-types.ts");
  await Deno.writeTextFile(
    script,
    files.map(({ path }) => `import type {} from "./${basename(path)}";\n`).join(""),
  );
  const { success, stderr } = await checkCommand(script, settings).output();
  return success ? undefined : new TextDecoder().decode(stderr);
}

/**
 * The notebooks that import a file which the compiler complains of, where it names none of them.
 * None if it lies in the library, which all import.
 */
function blamed(
  text: string,
  files: readonly ModuleFile[],
  reached: ReadonlyMap<string, ReadonlySet<string>>,
): NotebookFailure[] {
  const library = toFileUrl(`${projectFolder}/lib/`.replace("//lib", "/lib")).href;
  const [address] = [...text.matchAll(/at (file:\/\/\S+?):\d+:\d+/g)].map(([, found]) =>
    found ?? ""
  )
    .filter((found) => !found.startsWith(library));
  if (address === undefined) return [];
  return files.filter(({ module }) => reached.get(module.id)?.has(address)).map(({ module }) => ({
    notebook: module.id,
    stage: "types",
    message: `it imports ${basename(address)}, in which the compiler finds a mistake`,
  }));
}

/** Reads "message ... at file:///path:line:column" for one file. */
function firstDiagnostic(text: string, { module, path }: ModuleFile): NotebookFailure | undefined {
  const mark = `at ${toFileUrl(path).href}:`;
  const lines = text.split("\n");
  const at = lines.findIndex((line) => line.includes(mark));
  if (at < 0) return undefined;
  const moduleLine = Number.parseInt(lines[at]?.split(mark)[1] ?? "", 10);
  let begin = at;
  while (begin > 0 && !/^(TS\d+ \[ERROR\]|error):/.test(lines[begin] ?? "")) begin--;
  const message = lines.slice(begin, at)
    .filter((line) => !/^\s*[~^]+\s*$/.test(line))
    .map((line) => line.trim())
    .filter((line) => line !== "" && !line.includes("$mitral"));
  // the last line left is the source line itself, which the notebook shows anyway
  const words = message.length > 1 && /^TS\d+/.test(message[0] ?? "")
    ? message.slice(0, -1)
    : message;
  return {
    notebook: module.id,
    ...module.place(moduleLine),
    stage: "types",
    message: withoutAdvice(words.join(" "))
      .replace(/^TS(\d+) \[ERROR\]: /, "TypeScript $1: ")
      .replace(/^error: /, "")
      .replaceAll(/'typeof import\("file:[^)]*\)'/g, "the library"),
  };
}
