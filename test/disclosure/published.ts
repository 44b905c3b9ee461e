import { join } from "node:path";
import { type FindingsFile, findingsSchema } from "../../lib/report/files/findings-json.ts";
import { textsOf } from "../figures/drawing/read-svg.ts";

/** What leaves with a report, as far as it holds numbers of people. */
export interface Published {
  smallestCell: number;
  tables: FindingsFile["tables"];
  findings: FindingsFile["findings"];
  /** Sentences written by the notebooks: remarks, notes, captions, what stands under tables. */
  sentences: { where: string; text: string }[];
  /** Rows of numbers under a figure's axis, as printed. */
  underAxes: { figure: string; what: "at risk" | "graded"; rows: string[][] }[];
  /** Drawings by their ids. */
  drawings: { id: string; svg: string }[];
  /** What the plan calls the two groups. */
  groups: readonly [string, string];
  /** Populations that lie within others, by label. */
  within: { part: string; whole: string }[];
}

/** Reads a report's folder: findings.json, executed notebooks, figures and their captions. */
export function readPublished(folder: string): Published {
  const read = (...path: string[]) => Deno.readTextFileSync(join(folder, ...path));
  const { plan, findings, tables } = findingsSchema.parse(JSON.parse(read("findings.json")));
  const sentences = tables.flatMap(({ id, caption, notes = [] }) =>
    [caption, ...notes].map((text) => ({ where: `table ${id}`, text }))
  );
  for (const text of read("figures", "captions.txt").split("\n\n")) {
    sentences.push({ where: "captions", text });
  }
  for (const { name } of sorted(Deno.readDirSync(join(folder, "notebooks")))) {
    for (const text of remarksOf(read("notebooks", name))) sentences.push({ where: name, text });
  }
  const figures = sorted(Deno.readDirSync(join(folder, "figures")))
    .filter(({ name }) => name.endsWith(".svg"));
  const underAxes = figures.flatMap(({ name }): Published["underAxes"] => {
    const svg = read("figures", name);
    const figure = name.replace(/\.svg$/, "");
    return [
      { figure, what: "at risk", rows: rowsOf(svg, "risk-count") },
      { figure, what: "graded", rows: rowsOf(svg, "count") },
    ];
  });
  const drawings = figures.map(({ name }) => ({
    id: name.replace(/\.svg$/, ""),
    svg: read("figures", name),
  }));
  return {
    smallestCell: Number(plan.smallestCell),
    tables,
    findings,
    sentences,
    underAxes,
    drawings,
    ...planOf(plan),
  };
}

/** Texts of one part of a drawing, those of one height a row. */
function rowsOf(svg: string, part: string): string[][] {
  const rows = new Map<number, string[]>();
  for (const { y, text } of textsOf(svg, part)) rows.set(y, [...rows.get(y) ?? [], text]);
  return [...rows.values()];
}

/** What a notebook's cells said in words: findings, whose numbers are per 100, stand elsewhere. */
function remarksOf(notebook: string): string[] {
  interface Output {
    data?: Record<string, unknown>;
  }
  const { cells } = JSON.parse(notebook) as { cells: { outputs?: Output[] }[] };
  return cells.flatMap(({ outputs = [] }) => outputs).flatMap(({ data = {} }) => {
    const kind = (data["application/vnd.mitral+json"] as { kind?: string } | undefined)?.kind;
    const text = data["text/plain"];
    const said = kind === undefined || kind === "note";
    return said && text !== undefined ? [Array.isArray(text) ? text.join("") : String(text)] : [];
  });
}

function sorted(entries: Iterable<Deno.DirEntry>): Deno.DirEntry[] {
  return [...entries].sort((a, b) => a.name < b.name ? -1 : 1);
}

/** What of the published plan is about groups and populations. */
function planOf(plan: Record<string, unknown>): Pick<Published, "groups" | "within"> {
  const { groups, populations } = plan as {
    groups: { repair: string; replacement: string };
    populations: { id: string; label: string; rule?: unknown }[];
  };
  const within = populations.flatMap(({ label, rule }) =>
    populations.filter(({ id }) => JSON.stringify(rule ?? "").includes(`"population":"${id}"`))
      .map((whole) => ({ part: label, whole: whole.label }))
  );
  return { groups: [groups.repair, groups.replacement], within };
}
