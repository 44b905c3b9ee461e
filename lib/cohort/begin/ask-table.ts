import type { TableLayout } from "../../study/mapping/mod.ts";
import type { DateOrder } from "../cells/mod.ts";
import { dictionaryColumn, type TableName } from "../dictionary/mod.ts";
import { readMerges } from "../file/mod.ts";
import { findHeader, type HeadRecord, type Layout } from "../layout/mod.ts";
import {
  type ColumnProfile,
  nameSimilarity,
  profileColumns,
  type TableProfile,
} from "../propose/mod.ts";
import { askHeadings, type Say, type Show } from "./ask-headings.ts";
import type { DecidedTable } from "./draft-mapping.ts";
import type { Conversation } from "./questions.ts";

/** A table of an export, everything about it decided or open. */
export interface AskedTable extends DecidedTable {
  layout: TableLayout;
  profile: TableProfile;
}

/** Where a table is. */
export interface TablePlace {
  table: TableName;
  path: string;
  sheet: string | null;
  /** Its first records. */
  head: readonly HeadRecord[];
}

/** Asks about one table: its header, record numbers, merged cells, then every doubtful heading. */
export async function askTable(
  talk: Conversation,
  say: Say,
  place: TablePlace & { show?: Show },
): Promise<AskedTable> {
  const { table, path, sheet } = place;
  const found = findHeader(place.head);
  let lines = found?.lines ?? [1];
  if (!found?.sure) {
    const shown = place.head.filter(({ line }) => line <= Math.max(...lines) + 2).slice(-8);
    const answer = await talk.ask({
      id: `${table}.header`,
      lines: [
        `The ${table} table: in which line do the column names stand? ${found?.reason ?? ""}`,
        ...shown.map(({ line, cells }) => `  ${line}: ${cells.slice(0, 8).join(" | ")}`),
        '  a line, or two that are read together, such as "3, 4"',
      ],
      proposal: lines.join(", "),
      wrong: (text) => /^\d+(\s*,\s*\d+)?$/.test(text) ? null : "a number of a line, or two",
    });
    lines = (answer ?? lines.join(",")).split(",").map(Number);
  }
  let layout: Layout = { ...(sheet !== null && { sheet }), header: lines };
  let profile = await profileOf(path, layout);
  const id = await askId(talk, table, profile);
  const merged = await mergedHeadings(path, sheet, profile, id);
  if (merged.length > 0) {
    const answer = await talk.ask({
      id: `${table}.fill-down`,
      lines: [
        `Cells are merged, or blank beneath a value, in ${
          merged.map((name) => `“${name}”`).join(", ")
        }: does a blank there stand for the value above?`,
      ],
      hint: 'names with commas between them, or "none"',
      proposal: merged.join(", "),
      form: { kind: "some", names: merged, joint: ", ", none: "none", what: "Fill down" },
      // kept with those that were not chosen, so that others show
      covers: (text) => {
        const said = text.split(/[,;]/).map((name) => name.trim());
        return merged.every((name) => said.includes(name));
      },
      whole: (text) => {
        const said = text.split(/[,;]/).map((name) => name.trim());
        const rest = merged.filter((name) => !said.includes(name));
        return rest.length === 0 ? text : `${text}; ${rest.join("; ")}`;
      },
    });
    const [chosen = ""] = (answer ?? "none").split(";");
    const names = chosen.split(",").map((name) => name.trim());
    const fillDown = profile.columns.map(({ heading }) => heading)
      .filter((name) => names.includes(name));
    layout = { ...layout, fillDown };
    profile = await profileOf(path, layout);
  }
  const dates = await askOrder(talk, table, profile.columns);
  const { show } = place;
  const decided = await askHeadings(talk, say, { table, profile, id, ...(show && { show }) });
  const full: TableLayout = { fillDown: [], ...layout, id };
  return { table, id, dates, decided, layout: full, profile };
}

async function profileOf(path: string, layout: Layout): Promise<TableProfile> {
  const { fault, ...profile } = await profileColumns(path, layout);
  if (fault) throw new Error(`${fault.message}; ${fault.remedy}`);
  return { sheet: layout.sheet ?? null, ...profile };
}

const idNames = [
  "id",
  "patient id",
  "pat id",
  "patient number",
  "patient no",
  "record number",
  "case id",
  "pat nr",
  "patnr",
  "patientennummer",
  "fallnummer",
  "patient",
  "mrn",
  "study id",
  "numéro patient",
  "pid",
];

async function askId(talk: Conversation, table: TableName, profile: TableProfile): Promise<string> {
  const headings = profile.columns.map(({ heading }) => heading);
  if (headings.includes("id")) return "id";
  const likeness = (heading: string) =>
    Math.max(...idNames.map((name) => nameSimilarity(heading.replace(/^.*: /, ""), name)));
  const best = headings.toSorted((a, b) => likeness(b) - likeness(a))[0] ?? "";
  const answer = await talk.ask({
    id: `${table}.id`,
    lines: [
      `The ${table} table: which column has the record numbers? They become pseudonyms.`,
      `  columns: ${headings.join(", ")}`,
    ],
    ...(likeness(best) >= 0.6 && { proposal: best }),
    form: { kind: "one", choices: headings.map((answer) => ({ answer, label: answer })) },
    wrong: (text) => headings.includes(text) ? null : "one of the columns, as it is written",
  });
  if (answer === undefined) {
    throw new Error(`the column of record numbers must be known (${table}.id)`);
  }
  return answer;
}

/** Columns with cells merged downwards, and the record numbers where many are blank. */
async function mergedHeadings(
  path: string,
  sheet: string | null,
  profile: TableProfile,
  id: string,
): Promise<string[]> {
  const merges = await readMerges(path, sheet ?? undefined);
  return profile.columns.filter(({ heading, position, filled }) =>
    (merges.get(position) ?? 0) > 0.1 * profile.rows ||
    (heading === id && filled < 0.9 * profile.rows)
  ).map(({ heading }) => heading);
}

const dateOrders: readonly DateOrder[] = ["year-first", "day-first", "month-first"];

async function askOrder(
  talk: Conversation,
  table: TableName,
  columns: readonly ColumnProfile[],
): Promise<DateOrder> {
  const counts = dateOrders.map((order) =>
    columns.filter(({ dates, filled }) => dates > 0.5 * filled)
      .reduce((sum, { readable }) => sum + readable[order], 0)
  );
  const most = Math.max(...counts);
  if (most === 0 || counts[0] === most) return "year-first";
  if (counts[1] !== counts[2]) return counts[1] === most ? "day-first" : "month-first";
  const answer = await talk.ask({
    id: `${table}.dates`,
    lines: [`The ${table} table's dates can be read both ways: day-first or month-first?`],
    form: {
      kind: "one",
      choices: [
        { answer: "day-first", label: "the day first: 31.12.2020" },
        { answer: "month-first", label: "the month first: 12/31/2020" },
      ],
    },
    wrong: (text) => /^(day|month)-first$/.test(text) ? null : "day-first or month-first",
  });
  return answer === "month-first" ? "month-first" : "day-first";
}

/** Columns that a clean copy will have nothing for, though every patient must have a value. */
export function stillNeeded(filled: ReadonlySet<string>): string[] {
  return ["op_year", "intended", "final", "fu_days", "dead"].filter((name) =>
    !filled.has(name) && dictionaryColumn("patients", name)?.complete
  );
}
