import { graphCommand } from "../guest/mod.ts";
import { readableOfProject } from "../sandbox/mod.ts";
import type { NotebookFailure } from "./notebook.ts";
import { basename, dirname, join, relative, toFileUrl } from "./paths.ts";
import type { CheckPlaces, ModuleFile } from "./type-check.ts";

/** What `deno info --json` says of one module, as far as it is read here. */
interface ListedModule {
  specifier: string;
  dependencies?: { code?: Resolved; type?: Resolved; specifier?: string }[];
  typesDependency?: { dependency: Resolved };
}

interface Resolved {
  specifier?: string;
  span?: { start: { line: number } };
}

/** An import that leads out, and the line of the module that asks for it. */
interface Escape {
  target: string;
  line: number | undefined;
}

/** What the notebooks import, themselves and through other files. */
export interface Imports {
  /** Notebooks that import what they may not. */
  failures: NotebookFailure[];
  /** Addresses of all that each notebook imports, by its id; none of one that has the library. */
  reached: Map<string, ReadonlySet<string>>;
}

/**
 * Follows the notebooks' imports, and finds those that lead to a file which lies neither in the
 * project nor in the notebooks' own folders. The compiler reads whatever is imported, without
 * asking for rights, and quotes it in its messages: such a notebook is not to be handed to it.
 *
 * @param folder Where the script that names the modules is written.
 * @param own The notebooks' own folders.
 */
export async function followImports(
  files: readonly ModuleFile[],
  { folder, own }: CheckPlaces,
): Promise<Imports> {
  const others = files.filter(({ module }) => !importsLibraryAlone(module));
  if (others.length === 0) return { failures: [], reached: new Map() };
  const script = join(folder, "list-imports.ts");
  await Deno.writeTextFile(
    script,
    others.map(({ path }) => `import type {} from "./${basename(path)}";\n`).join(""),
  );
  const { stdout, success } = await graphCommand(script).output();
  if (!success) throw new Error("Cannot list what the notebooks import");
  const { modules }: { modules: ListedModule[] } = JSON.parse(new TextDecoder().decode(stdout));
  const graph = new Map(modules.map((module) => [module.specifier, module]));
  const allowed = await Promise.all([...readableOfProject, ...own].map(real));
  const isAllowed = new Map<string, boolean>();
  for (const { specifier } of modules) {
    isAllowed.set(specifier, await liesIn(specifier, allowed));
  }
  const failures: NotebookFailure[] = [];
  const reached = new Map<string, ReadonlySet<string>>();
  for (const { path, module } of others) {
    const walk = walkFrom(toFileUrl(path).href, graph, isAllowed);
    reached.set(module.id, walk.seen);
    if (!walk.escape) continue;
    const { target, line } = walk.escape;
    failures.push({
      notebook: module.id,
      ...(line === undefined ? {} : module.place(line)),
      stage: "types",
      message: `imports ${target}, which lies neither in the project nor beside the notebooks`,
    });
  }
  return { failures, reached };
}

/**
 * Whether a module can lead nowhere but to the library, so that its imports need not be listed,
 * which takes a process: it has the one line that imports it, and no other word that could begin an
 * import, in code or in a comment that a compiler reads; to declare something of another module is
 * to import it. What is in doubt is listed.
 */
function importsLibraryAlone({ source }: ModuleFile["module"]): boolean {
  // the first line is the runner's own
  const own = source.slice(source.indexOf("\n"));
  const rest = own.replaceAll(/^import \* as \w+ from "mitral";$/gm, "");
  return !/import|export|require|\/\/\/|@(ts|deno|jsx)|\bdeclare\b|\bmodule\b/i.test(rest);
}

function walkFrom(
  root: string,
  graph: ReadonlyMap<string, ListedModule>,
  isAllowed: ReadonlyMap<string, boolean>,
): { seen: Set<string>; escape: Escape | undefined } {
  let escape: Escape | undefined;
  const seen = new Set([root]);
  // each with the line of the notebook through which it was reached
  const queue: { specifier: string; line: number | undefined }[] = [
    { specifier: root, line: undefined },
  ];
  for (let next = queue.shift(); next; next = queue.shift()) {
    const module = graph.get(next.specifier);
    const wanted = (module?.dependencies ?? []).flatMap(({ code, type }) =>
      [code, type].flatMap((found) => found ?? [])
    );
    if (module?.typesDependency) wanted.push(module.typesDependency.dependency);
    for (const { specifier, span } of wanted) {
      if (specifier === undefined || seen.has(specifier)) continue;
      seen.add(specifier);
      const start = span?.start.line;
      const line = next.specifier === root && start !== undefined ? start + 1 : next.line;
      if (isAllowed.get(specifier) !== false) queue.push({ specifier, line });
      else escape ??= { target: basename(specifier), line };
    }
  }
  return { seen, escape };
}

/** Whether a module is none of this machine's files, or one in these folders, links followed. */
async function liesIn(specifier: string, folders: readonly string[]): Promise<boolean> {
  if (!specifier.startsWith("file:")) return true;
  const path = await real(decodeURIComponent(new URL(specifier).pathname));
  return folders.some((folder) => path === folder || !relative(folder, path).startsWith(".."));
}

async function real(path: string): Promise<string> {
  try {
    return await Deno.realPath(path);
  } catch {
    // a file that is not there is looked for in the folder it would lie in
    const above = dirname(path);
    return above === path ? path : join(await real(above), basename(path));
  }
}
