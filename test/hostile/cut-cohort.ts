import { parse } from "csv-parse/sync";
import { stringify } from "csv-stringify/sync";
import { join } from "node:path";
import { openAnalysis, type OpenedAnalysis } from "../../lib/missing/mod.ts";
import { buildReport } from "../../lib/report/build-report.ts";
import { fromFileUrl } from "../../lib/report/sandbox/mod.ts";
import { messageOf } from "../../lib/study/command-line/mod.ts";
import { describeFailure } from "../../lib/report/notebooks/notebook.ts";
import { validateStudy, type Validation } from "../../lib/report/validate/mod.ts";
import { contradictions, readSaid } from "../report/sentences/sentence-numbers.ts";

/** One row of a table, by column. */
export type Row = Record<string, string>;
/** A study file as JSON, as far as it is changed here. */
export type PlanJson = Record<string, unknown> & {
  adjustment: { covariates: { column: string; reference?: string }[] };
  populations: { id: string; rule?: unknown }[];
  comparisons: { id: string; population?: string }[];
};

/** What is done to the demonstration's files before they are reported on. */
export interface Cut {
  rows?: (patients: Row[], visits: Row[]) => [Row[], Row[]];
  plan?: (plan: PlanJson) => void;
  /** Notebooks to run, where not all are needed. */
  notebooks?: readonly string[];
}

/** What came of a report. */
export interface CutReport {
  /** What was said of the files beforehand. */
  validation: Pick<Validation, "groups" | "foretold">;
  /** Why there is no report at all; empty where there is one. */
  refused: string;
  /** Cells that failed, in words. */
  failures: string[];
  /** Sentences whose numbers are not those of the findings and tables. */
  contradictions: string[];
  /** Populations, in the plan's order, whose row of the grid has a number. */
  answered: number[];
  /** Whether the report has a grid at all. */
  hasGrid: boolean;
  /** The text of the report and its supplement, without tags. */
  text: string;
}

/** A file of `data-demo/`. */
export const demo = (name: string) =>
  fromFileUrl(new URL(`../../data-demo/${name}`, import.meta.url));

const rowsOf = async (name: string): Promise<Row[]> =>
  parse(await Deno.readTextFile(demo(name)), { columns: true });

/** Cuts the demonstration's files into a folder and names its study file. Invented data. */
export async function writeCut(
  folder: string,
  { rows, plan: change }: Cut,
  { every = 1 }: { every?: number } = {},
): Promise<string> {
  const plan: PlanJson = JSON.parse(await Deno.readTextFile(demo("study.json")));
  plan.bootstrap = { replicates: 0 };
  change?.(plan);
  const all = [
    (await rowsOf("patients.csv")).filter((_, i) => i % every === 0),
    await rowsOf("echo-visits.csv"),
  ] as const;
  const [patients, kept] = rows?.(...all) ?? all;
  // a cut may add columns; of a table that it empties the header stays
  const columns = [patients, kept].map(([first], i) => Object.keys(first ?? all[i]?.[0] ?? {}));
  const ids = new Set(patients.map(({ id }) => id));
  const own = kept.filter(({ id }) => ids.has(id));
  const write = (name: string, table: Row[], header: string[]) =>
    Deno.writeTextFile(join(folder, name), stringify(table, { header: true, columns: header }));
  const study = join(folder, "study.json");
  await Deno.writeTextFile(study, JSON.stringify(plan));
  await write("patients.csv", patients, columns[0]!);
  await write("echo-visits.csv", own, columns[1]!);
  await Deno.copyFile(demo("life-table.csv"), join(folder, "life-table.csv"));
  return study;
}

/** Opens the analysis of a cut, in this process, and gives it to a test. */
export async function onCut(
  cut: Cut,
  use: (opened: OpenedAnalysis) => void | Promise<void>,
): Promise<void> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    await use(await openAnalysis(await writeCut(folder, cut)));
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

/**
 * Cuts the demonstration's files, and runs every notebook on them. Invented data.
 *
 * @param options.every Keeps one of so many patients, for speed.
 */
export async function reportOnCut(
  cut: Cut,
  options: { every?: number } = {},
): Promise<CutReport> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    const study = await writeCut(folder, cut, options);
    const { notebooks } = cut;
    const out = join(folder, "out");
    const validation = await validateStudy({ study });
    const built = await buildReport({
      study,
      out,
      // the notebooks are the project's, whose types `deno task check` looks at
      typeCheck: false,
      ...(notebooks && { notebooks: await copied(notebooks, join(folder, "notebooks")) }),
    }).catch(messageOf);
    if (typeof built === "string") return { validation, ...noReport, refused: built };
    const pages = await Promise.all(
      ["report.html", "supplement.html"].map((name) => Deno.readTextFile(join(out, name))),
    );
    return {
      validation,
      refused: "",
      failures: built.model.failures.map(describeFailure),
      contradictions: contradictions(readSaid(out)),
      ...await gridOf(study, out),
      text: pages.join(" ").replace(/<(style|script)[\s\S]*?<\/\1>/g, " ").replace(/<[^>]+>/g, " "),
    };
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

const noReport = { failures: [], contradictions: [], answered: [], hasGrid: false, text: "" };

/** Which of the plan's populations have a number in the report's grid. */
async function gridOf(
  study: string,
  out: string,
): Promise<Pick<CutReport, "answered" | "hasGrid">> {
  const { populations }: PlanJson = JSON.parse(await Deno.readTextFile(study));
  const { tables } = JSON.parse(await Deno.readTextFile(join(out, "findings.json")));
  const rows: { population: string; difference: number | null }[] | undefined = tables
    .find(({ id }: { id: string }) => id === "grid")?.rows;
  const withNumber = new Set(
    rows?.filter(({ difference }) => difference !== null).map(({ population }) => population),
  );
  const answered = populations.flatMap(({ id }, i) => withNumber.has(id) ? [i] : []);
  return { answered, hasGrid: rows !== undefined };
}

/** A folder with some of the project's notebooks. */
async function copied(names: readonly string[], folder: string): Promise<string> {
  await Deno.mkdir(folder);
  for (const name of names) {
    const source = new URL(`../../notebooks/${name}.ipynb`, import.meta.url);
    await Deno.copyFile(source, join(folder, `${name}.ipynb`));
  }
  return folder;
}
