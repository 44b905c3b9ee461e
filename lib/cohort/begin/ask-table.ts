import type { TableLayout } from "../../study/mapping/mod.ts";
import { type DateOrder, dateOrders } from "../cells/mod.ts";
import { tableColumns, type TableName } from "../dictionary/mod.ts";
import { type ReadingProgress, readMerges } from "../file/mod.ts";
import { findHeader, type HeadRecord, joinedNames, type Layout } from "../layout/mod.ts";
import {
  type ColumnProfile,
  nameSimilarity,
  profileColumns,
  type TableProfile,
} from "../propose/mod.ts";
import { askSome } from "./ask-some.ts";
import { askHeadings, type Say, type Show } from "./ask-headings.ts";
import type { DecidedTable } from "./draft-mapping.ts";
import { type Conversation, unanswered } from "./questions.ts";

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
  place: TablePlace & { show?: Show; progress?: (progress: ReadingProgress) => void },
): Promise<AskedTable> {
  const { table, path, sheet } = place;
  const lines = await askHeader(talk, place);
  let layout: Layout = { ...(sheet !== null && { sheet }), header: lines };
  let profile = await profileOf(path, layout, place.progress);
  const decimal = await askDecimal(talk, table, profile);
  if (decimal !== profile.format?.decimal) {
    layout = { ...layout, decimal };
    profile = await profileOf(path, layout, place.progress);
  }
  const id = await askId(talk, table, profile);
  const merged = await mergedHeadings(path, sheet, profile, id);
  if (merged.length > 0) {
    const fillDown = await askSome(talk, {
      id: `${table}.fill-down`,
      lines: [
        `Cells are merged, or blank beneath a value, in ${
          merged.map((name) => `“${name}”`).join(", ")
        }: does a blank there stand for the value above?`,
      ],
      names: merged,
      what: "Fill down",
    }) ?? [];
    layout = { ...layout, id, fillDown };
    profile = await profileOf(path, layout, place.progress);
  }
  const dates = await askOrder(talk, table, profile.columns);
  const { show } = place;
  const decided = await askHeadings(talk, say, { table, profile, id, ...(show && { show }) });
  const full: TableLayout = { fillDown: [], ...layout, id };
  return { table, id, dates, decided, layout: full, profile };
}

/** The line of the column names, or two that are read together. */
async function askHeader(talk: Conversation, { table, head }: TablePlace): Promise<number[]> {
  const found = findHeader(head);
  const lines = found?.lines ?? [1];
  if (found?.sure) return lines;
  const linesIn = (text: string) => (text.split(":")[0] ?? "").split(",").map(Number);
  const namesAt = (lines: readonly number[]) =>
    joinedNames(lines.map((line) => head.find((one) => one.line === line)?.cells ?? [])).slice(
      0,
      6,
    );
  const shown = head.filter(({ line }) => line <= Math.max(...lines) + 2).slice(-8);
  const answer = await talk.ask({
    id: `${table}.header`,
    lines: [
      `The ${table} table: in which line do the column names stand? ${found?.reason ?? ""}`,
      ...shown.map(({ line, cells }) => `  ${line}: ${cells.slice(0, 8).join(" | ")}`),
      '  a line, or two that are read together, such as "3, 4"',
    ],
    proposal: lines.join(", "),
    wrong: (text) => /^\d+(\s*,\s*\d+)?(:|$)/.test(text) ? null : "a number of a line, or two",
    // kept with the first names: next year's export may have another line above them
    whole: (text) => `${linesIn(text).join(", ")}: ${namesAt(linesIn(text)).join(" | ")}`,
    covers(text) {
      const before = text.split(": ").slice(1).join(": ").split(" | ").filter((name) =>
        name !== ""
      );
      const now = new Set(namesAt(linesIn(text)));
      return before.filter((name) => now.has(name)).length >= before.length / 2;
    },
  });
  return answer === undefined ? lines : linesIn(answer);
}

/** The decimal mark of a text file; asked for where numbers are written with either. */
async function askDecimal(
  talk: Conversation,
  table: TableName,
  { columns, format }: TableProfile,
): Promise<"." | "," | undefined> {
  if (format?.kind !== "csv") return format?.decimal;
  // what cannot be a thousand
  const marked = (mark: string) =>
    columns.flatMap(({ heading, values }) => {
      const decimal = new RegExp(`^-?\\d+[${mark}](\\d{1,2}|\\d{4,})$`);
      const example = [...values.keys()].find((value) => decimal.test(value));
      return example === undefined ? [] : [`${example} in “${heading}”`];
    });
  const [points, commas] = [marked("."), marked(",")];
  if (points.length === 0 || commas.length === 0) return format.decimal;
  const answer = await talk.ask({
    id: `${table}.decimal`,
    lines: [
      `The ${table} table: some decimals are written with a point (${
        points[0]
      }), others with a comma ` +
      `(${commas[0]}): which is the file's way?`,
    ],
    proposal: commas.length > points.length ? "comma" : "point",
    unasked: format.decimal === "," ? "comma" : "point",
    form: {
      kind: "one",
      choices: ["point", "comma"].map((answer) => ({ answer, label: `a ${answer}` })),
    },
    wrong: (text) => /^(point|comma)$/.test(text) ? null : "point or comma",
  });
  return answer === "comma" ? "," : ".";
}

async function profileOf(
  path: string,
  layout: Layout,
  progress?: (progress: ReadingProgress) => void,
): Promise<TableProfile> {
  const { fault, ...profile } = await profileColumns(path, layout, progress);
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
  const likeness = (heading: string) =>
    Math.max(...idNames.map((name) => nameSimilarity(heading.replace(/^.*: /, ""), name)));
  const alike = profile.columns.filter(({ heading }) => likeness(heading) >= 0.9);
  // an "id" beside a "patient id" may number the rows
  if (headings.includes("id") && alike.length === 1) return "id";
  const best = alike.length > 1
    ? recordNumbers(table, alike)
    : headings.toSorted((a, b) => likeness(b) - likeness(a))[0] ?? "";
  const answer = await talk.ask({
    id: `${table}.id`,
    lines: [
      `The ${table} table: which column has the record numbers? They become pseudonyms.`,
      ...(alike.length > 1
        ? [`  could be: ${alike.map(({ heading }) => `“${heading}”`).join(", ")}`]
        : []),
      `  columns: ${headings.join(", ")}`,
    ],
    ...(best !== null && likeness(best) >= 0.6 && { proposal: best }),
    form: { kind: "one", choices: headings.map((answer) => ({ answer, label: answer })) },
    wrong: (text) => headings.includes(text) ? null : "one of the columns, as it is written",
  });
  if (answer === undefined) {
    throw unanswered("the column of record numbers must be known", `${table}.id`);
  }
  return answer;
}

/**
 * Of columns that could be record numbers the one that is as they are: of visits some patients have
 * several, of patients nobody. `null` where that is more than one.
 */
function recordNumbers(table: TableName, columns: readonly ColumnProfile[]): string | null {
  const fit = columns.filter(({ values }) =>
    [...values.values()].some((count) => count > 1) === (table === "visits")
  );
  return fit.length === 1 ? fit[0]!.heading : null;
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

/** Columns that a clean copy will have nothing for, though every row must have a value. */
export function stillNeeded(table: TableName, filled: ReadonlySet<string>): string[] {
  return tableColumns(table).filter(({ name, complete }) =>
    complete && name !== "id" && !filled.has(name)
  ).map(({ name }) => name);
}
