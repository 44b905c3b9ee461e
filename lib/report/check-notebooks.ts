/**
 * Checks the project's notebooks as source: file format, layout, size of cells, lint and types.
 * Layout is what `deno task format-notebooks` leaves as it is; lines are counted as laid out.
 *
 *     deno run --allow-all lib/report/check-notebooks.ts [FOLDER]
 *
 * Prints one line a problem and exits 1 if there is any.
 */
import { projectFolder } from "./sandbox/mod.ts";
import { notebooksIn, readNotebooks } from "./snapshot/mod.ts";
import {
  describeFailure,
  followImports,
  join,
  type ModuleFile,
  type Notebook,
  notebookModule,
  resolve,
  typeCheck,
} from "./notebooks/mod.ts";

const longestCell = 12;

/** What is wrong with the notebooks of a folder, one line a problem. */
export async function notebookProblems(folder: string): Promise<string[]> {
  const { notebooks, failures } = await readNotebooks(await notebooksIn(folder));
  const problems = failures.map(describeFailure);
  const workFolder = join(projectFolder, "out", ".check");
  await Deno.mkdir(workFolder, { recursive: true });
  const files: ModuleFile[] = [];
  for (const notebook of notebooks) {
    problems.push(...formatProblems(notebook));
    const result = notebookModule(notebook);
    if ("failure" in result) {
      problems.push(describeFailure(result.failure));
      continue;
    }
    const path = join(workFolder, `${files.length + 1}.ts`);
    await Deno.writeTextFile(path, result.module.source);
    files.push({ module: result.module, path });
  }
  problems.push(...await lintProblems(files));
  const places = { folder: workFolder, own: [folder] };
  const imports = await followImports(files, places);
  const wrong = [...imports.failures, ...await typeCheck(files, places, imports)];
  problems.push(...wrong.map(describeFailure));
  return problems;
}

/** Format and size: nbformat 4.5, nothing stored, no cell too long to be read at once. */
function formatProblems(notebook: Notebook): string[] {
  const problems: string[] = [];
  if (notebook.minor !== 5) problems.push(`${notebook.id}: must be nbformat 4.5`);
  const kernel = notebook.metadata.kernelspec;
  if (
    typeof kernel !== "object" || kernel === null || !("name" in kernel) || kernel.name !== "deno"
  ) {
    problems.push(`${notebook.id}: must name the kernel "deno" in metadata.kernelspec`);
  }
  let number = 0;
  const ids = new Set<string>();
  for (const { id } of notebook.cells) {
    if (ids.has(id)) {
      problems.push(`${notebook.id}: must give each cell an id of its own, has ${id} twice`);
    }
    ids.add(id);
  }
  for (const cell of notebook.cells) {
    if (cell.cell_type !== "code") continue;
    number++;
    const say = (text: string) => problems.push(`${notebook.id}, cell ${number}: ${text}`);
    if (cell.outputs.length > 0) say("must not store outputs");
    if (cell.execution_count !== null) say("must not store an execution count");
    const lines = cell.source.trimEnd().split("\n").length;
    if (lines > longestCell) {
      say(`must have at most ${longestCell} lines, has ${lines}`);
    }
    if (/\bimport\.meta\b/.test(cell.source)) say("import.meta is not known in notebook clients");
  }
  return problems;
}

/**
 * Notebooks that formatting would change. `deno fmt --check` itself calls every notebook that it
 * has not formatted before badly formatted (Deno 2.9.6), so a copy is formatted and compared.
 */
export async function layoutProblems(folder: string): Promise<string[]> {
  const copy = await Deno.makeTempDir({ prefix: "mitral-layout-" });
  try {
    const names = [...Deno.readDirSync(folder)].map(({ name }) => name)
      .filter((name) => name.endsWith(".ipynb")).sort();
    for (const name of names) await Deno.copyFile(join(folder, name), join(copy, name));
    const { success, stderr } = await new Deno.Command(Deno.execPath(), {
      args: ["fmt", "--no-config", "--line-width", "100", "--quiet", copy],
    }).output();
    if (!success) return [new TextDecoder().decode(stderr)];
    const problems: string[] = [];
    for (const name of names) {
      const [before, after] = await Promise.all(
        [folder, copy].map((where) => Deno.readTextFile(join(where, name))),
      );
      if (before !== after) problems.push(`${name}: run deno task format-notebooks`);
    }
    return problems;
  } finally {
    await Deno.remove(copy, { recursive: true });
  }
}

interface LintReport {
  diagnostics: {
    filename: string;
    range: { start: { line: number } };
    message: string;
    code: string;
  }[];
  errors: { message: string }[];
}

async function lintProblems(files: readonly ModuleFile[]): Promise<string[]> {
  if (files.length === 0) return [];
  // outside the project, whose configuration leaves the output folder out
  const folder = await Deno.makeTempDir({ prefix: "mitral-lint-" });
  try {
    for (const [index, { module }] of files.entries()) {
      await Deno.writeTextFile(join(folder, `${index + 1}.ts`), module.source);
    }
    const { stdout } = await new Deno.Command(Deno.execPath(), {
      args: ["lint", "--no-config", "--json", folder],
    }).output();
    const report: LintReport = JSON.parse(new TextDecoder().decode(stdout));
    const problems = report.errors.map(({ message }) => `lint: ${message}`);
    for (const [index, { module }] of files.entries()) {
      for (const { filename, range, message, code } of report.diagnostics) {
        if (!filename.endsWith(`/${index + 1}.ts`)) continue;
        const place = module.place(range.start.line);
        if (!place) continue;
        problems.push(
          `${module.id}, cell ${place.cell}, line ${place.line}: ${message} (lint: ${code})`,
        );
      }
    }
    return problems;
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

if (import.meta.main) {
  const folder = resolve(Deno.args[0] ?? join(projectFolder, "notebooks"));
  const problems = [...await layoutProblems(folder), ...await notebookProblems(folder)];
  for (const problem of problems) console.error(problem);
  console.log(problems.length === 0 ? `Notebooks are fine` : `${problems.length} problems`);
  Deno.exit(problems.length === 0 ? 0 : 1);
}
