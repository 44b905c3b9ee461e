import { openStudy, provenance, type Study } from "../study/file/mod.ts";
import {
  checkOutput,
  excludedList,
  findingsJson,
  manifestJson,
  replaceOutput,
  type ReportContents,
  sha256,
  tableCsv,
  tablesDocx,
  versionsOf,
} from "./files/mod.ts";
import {
  executedNotebook,
  join,
  messageOf,
  type Notebook,
  type NotebookFailure,
  parseNotebook,
  type Progress,
  projectFolder,
  resolve,
  runNotebooks,
  toFileUrl,
} from "./notebooks/mod.ts";
import { printSvg, safeSvg } from "./markup/mod.ts";
import { reportHtml } from "./article/mod.ts";
import { briefBlocks, briefHtml } from "./brief/mod.ts";
import { supplementHtml } from "./supplement/mod.ts";
import { manuscriptFiles } from "./manuscript/mod.ts";
import type { PrintJob } from "./print/mod.ts";
import { allFailures, collectItems, type ReportModel, statusOfFigure } from "./model/mod.ts";
import { methodsUsed } from "./methods/mod.ts";

/** What to report on and where to put it. */
export interface BuildOptions {
  /** Study file; default, the demonstration. */
  study?: string;
  /** Cohort file in place of the one the study names. */
  cohort?: string;
  /** Visits file in place of the one the study names. */
  visits?: string;
  /** Folder of the report; default `out/<study name>` in the project. */
  out?: string;
  /** Folder of notebooks; default the project's own. */
  notebooks?: string;
  /** Seconds a notebook may take; default an hour. */
  timeLimit?: number;
  /** Also writes the figures as PDF and PNG, for one and two columns of a journal. */
  print?: "figures";
  progress?: Progress;
}

/** A report that was written. */
export interface BuiltReport {
  folder: string;
  model: ReportModel;
  /** Paths of all files within the folder, but for the manifest. */
  files: string[];
}

/**
 * Runs the notebooks over a study and writes the report, its tables, figures, executed notebooks
 * and manifest.
 *
 * Nothing is put in its place before everything is ready; the manifest comes last, so a folder
 * without one is not a finished report.
 *
 * @throws {Error} Where there is nothing to run or nowhere to write. What goes wrong inside a
 * notebook does not throw: it is marked in the report and listed in `model.failures`.
 */
export async function buildReport(options: BuildOptions = {}): Promise<BuiltReport> {
  const startedAt = new Date().toISOString();
  const began = performance.now();
  const study = await openStudyWith(options);
  const folder = resolve(options.out ?? join(projectFolder, "out", study.name));
  await checkOutput(folder);
  const notebookFolder = resolve(options.notebooks ?? join(projectFolder, "notebooks"));
  const { notebooks, failures } = await readNotebooks(notebookFolder);
  const workFolder = join(folder, ".work");
  const files = { study: study.path, cohort: study.cohortPath, visits: study.visitsPath };
  const sandbox = {
    read: [
      projectFolder,
      notebookFolder,
      folder,
      study.path,
      study.cohortPath,
      study.visitsPath,
      ...(study.lifeTablePath ? [study.lifeTablePath] : []),
    ],
    write: [folder],
  };
  const excluded = excludedList(files, sandbox);
  excluded.catch(() => {}); // it is awaited after the notebooks, and raised there
  const runs = await runNotebooks(notebooks, {
    files,
    sandbox,
    timeLimit: options.timeLimit ?? longest,
    ...(options.print === "figures" && { wideWidth }),
    workFolder: join(workFolder, "modules"),
    progress: options.progress,
  });
  const items = collectItems(runs, study);
  const config = JSON.parse(await Deno.readTextFile(join(projectFolder, "deno.json")));
  const model: ReportModel = {
    study,
    runs,
    items,
    methods: methodsUsed(runs),
    failures: [...failures, ...allFailures(runs, items)],
    files: await provenance(study),
    lockSha256: await sha256(await Deno.readFile(join(projectFolder, "deno.lock"))),
    versions: versionsOf(config),
  };
  const contents = await reportFiles(model);
  const list = await excluded;
  if (list !== undefined) contents.set("excluded.csv", list);
  if (options.print === "figures") {
    const began = performance.now();
    // loaded here alone: a report that is not printed does not wait for it
    const { briefPdf, printFigures } = await import("./print/mod.ts");
    for (const [path, bytes] of await printFigures(printJobs(model))) contents.set(path, bytes);
    contents.set("brief.pdf", await briefPdf(briefBlocks(model), { title: study.title }));
    options.progress?.step(
      `figures printed in ${((performance.now() - began) / 1000).toFixed(1)} s`,
    );
  }
  const outputs: Record<string, string> = {};
  for (const [path, content] of contents) outputs[path] = await sha256(content);
  const manifest = manifestJson(model, {
    startedAt,
    seconds: (performance.now() - began) / 1000,
    outputs,
  });
  await replaceOutput(folder, { contents, manifest });
  options.progress?.step("report written");
  return { folder, model, files: [...contents.keys()] };
}

/** A notebook that has not ended after an hour has lost itself. */
const longest = 3600;

/** Letters at 180 mm as large as at 85 mm: drawings are 480 units wide unless told. */
const wideWidth = Math.round(480 * 180 / 85);

function printJobs({ items }: ReportModel): PrintJob[] {
  return items.figures.flatMap(({ item: { id, title, svg, wide } }) => {
    const safe = safeSvg(svg);
    return safe ? [{ id, title, svg: safe, wide: wide && safeSvg(wide) }] : [];
  });
}

/** Every file of a report that follows from what it shows, by path within its folder. */
export async function reportFiles(model: ReportModel): Promise<ReportContents> {
  const contents: ReportContents = new Map();
  contents.set("report.html", reportHtml(model));
  contents.set("supplement.html", supplementHtml(model));
  contents.set("brief.html", briefHtml(model));
  contents.set("findings.json", findingsJson(model));
  for (const { item } of model.items.tables) contents.set(`tables/${item.id}.csv`, tableCsv(item));
  if (model.items.tables.length > 0) contents.set("tables/tables.docx", await tablesDocx(model));
  for (const [path, content] of await manuscriptFiles(model)) contents.set(path, content);
  if (model.items.figures.length > 0) contents.set("figures/captions.txt", captionsText(model));
  for (const { item } of model.items.figures) {
    const svg = safeSvg(item.svg);
    // a vector editor knows neither variables nor every selector of a style sheet
    if (svg) contents.set(`figures/${item.id}.svg`, `${printSvg(svg)}\n`);
  }
  for (const run of model.runs) {
    contents.set(`notebooks/${run.notebook.id}.ipynb`, executedNotebook(run));
  }
  return contents;
}

/** Captions to go with the drawings, which carry only their letters. */
function captionsText(model: ReportModel): string {
  return model.items.figures.map(({ item, number }) =>
    `Figure ${number} (${item.id}). ${item.title}. ${item.caption} (${
      statusOfFigure(item, model)
    })\n`
  ).join("\n");
}

/**
 * Reads every notebook of a folder, in the order of their names.
 *
 * @throws {Error} Where the folder holds none.
 */
export async function readNotebooks(
  folder: string,
): Promise<{ notebooks: Notebook[]; failures: NotebookFailure[] }> {
  const names: string[] = [];
  try {
    for await (const entry of Deno.readDir(folder)) {
      if (entry.isFile && entry.name.endsWith(".ipynb")) names.push(entry.name);
    }
  } catch (error) {
    throw new Error(`Cannot read the notebooks in ${folder}: ${messageOf(error)}`);
  }
  if (names.length === 0) throw new Error(`Cannot report: there are no notebooks in ${folder}`);
  const notebooks: Notebook[] = [];
  const failures: NotebookFailure[] = [];
  for (const name of names.sort()) {
    const id = name.slice(0, -".ipynb".length);
    const json = await Deno.readTextFile(join(folder, name));
    try {
      notebooks.push(parseNotebook(json, { id, folder: toFileUrl(`${folder}/`).href }));
    } catch (error) {
      failures.push({ notebook: id, stage: "reading", message: messageOf(error) });
    }
  }
  return { notebooks, failures };
}

/** Opens the study as a notebook will: through the paths of the run. */
function openStudyWith({ study, cohort, visits }: BuildOptions): Promise<Study> {
  const paths = {
    ...(study && { study: resolve(study) }),
    ...(cohort && { cohort: resolve(cohort) }),
    ...(visits && { visits: resolve(visits) }),
  };
  Reflect.set(globalThis, Symbol.for("mitral.run"), paths);
  return openStudy();
}
