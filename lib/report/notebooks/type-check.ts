import type { NotebookModule } from "./module.ts";
import { type NotebookFailure, withoutAdvice } from "./notebook.ts";
import { basename, join, toFileUrl } from "./paths.ts";
import { checkCommand } from "./sandbox.ts";

/** A notebook's module and the file it was written to. */
export interface ModuleFile {
  module: NotebookModule;
  path: string;
}

/**
 * Type-checks all modules in one pass of the compiler, whose verdict Deno keeps: unchanged
 * notebooks over an unchanged library cost a few hundredths of a second.
 *
 * @param folder Where the script that names the modules is written.
 * @returns The first failure of each notebook that has one.
 * @throws {Error} Where the fault lies outside the notebooks, with the compiler's text.
 */
export async function typeCheck(
  files: readonly ModuleFile[],
  folder: string,
): Promise<NotebookFailure[]> {
  const failures: NotebookFailure[] = [];
  let remaining = [...files];
  while (remaining.length > 0) {
    const script = join(folder, "check-types.ts");
    await Deno.writeTextFile(
      script,
      // by name: no path of the machine stays in the output folder
      remaining.map(({ path }) => `import type {} from "./${basename(path)}";\n`)
        .join(""),
    );
    const { success, stderr } = await checkCommand(script).output();
    if (success) return failures;
    const text = new TextDecoder().decode(stderr);
    const found = remaining.flatMap((file) => firstDiagnostic(text, file) ?? []);
    if (found.length === 0) throw new Error(`Cannot check the notebooks:\n${text.trim()}`);
    failures.push(...found);
    // an import that cannot be loaded hides what comes after it, so look again without its notebook
    remaining = remaining.filter(({ module }) =>
      !found.some(({ notebook }) => notebook === module.id)
    );
  }
  return failures;
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
      .replace(/^error: /, ""),
  };
}
