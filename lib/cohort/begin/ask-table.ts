import type { TableLayout } from "../../study/mapping/mod.ts";
import { type DateOrder, plainWords, wordFinder } from "../cells/mod.ts";
import { dictionaryColumn, type TableName } from "../dictionary/mod.ts";
import { readMerges } from "../file/mod.ts";
import { findHeader, type HeadRecord, type Layout } from "../layout/mod.ts";
import {
  type ColumnProfile,
  nameSimilarity,
  profileColumns,
  type TableProfile,
} from "../propose/mod.ts";
import { answerFor, decisionOf } from "./answers.ts";
import { askValues, type DeathEvidence } from "./ask-codes.ts";
import { type Considered, considerHeadings, type Decision } from "./consider.ts";
import type { DecidedTable } from "./draft-mapping.ts";
import { procedureWords } from "./procedure-words.ts";
import type { Conversation } from "./questions.ts";
import { sourceKinds } from "./source-names.ts";

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

type Say = (line: string) => void;

/** Asks about one table: its header, record numbers, merged cells, then every doubtful heading. */
export async function askTable(
  talk: Conversation,
  say: Say,
  place: TablePlace,
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
        '  names with commas between them, or "none"',
      ],
      proposal: merged.join(", "),
    });
    const names = (answer ?? "none").split(",").map((name) => name.trim());
    const fillDown = profile.columns.map(({ heading }) => heading)
      .filter((name) => names.includes(name));
    layout = { ...layout, fillDown };
    profile = await profileOf(path, layout);
  }
  const dates = await askOrder(talk, table, profile.columns);
  const decided = await askHeadings(talk, say, { table, profile, id });
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
    wrong: (text) => /^(day|month)-first$/.test(text) ? null : "day-first or month-first",
  });
  return answer === "month-first" ? "month-first" : "day-first";
}

async function askHeadings(
  talk: Conversation,
  say: Say,
  { table, profile, id }: { table: TableName; profile: TableProfile; id: string },
): Promise<DecidedTable["decided"]> {
  const all = considerHeadings(table, profile.columns);
  const others = all.filter((one) => one.profile.heading !== id);
  const sure = others.filter((one) => one.sure || one.valuesOnly);
  const unlike = others.filter(({ decision }) => decision === null);
  const doubtful = others.filter((one) => !one.sure && !one.valuesOnly && one.decision !== null);
  say(`\nThe ${table} table, ${profile.rows} rows. Beyond doubt:`);
  for (const one of sure) say(`  ${lineOf(one)}`);
  const decisions = new Map<string, Decision>();
  for (const one of sure) decisions.set(one.profile.heading, one.decision!);
  const wantedApart = await askUnlike(talk, table, unlike, decisions);
  const taken = new Set(
    [...decisions.values()].flatMap((one) => one.as === "column" ? one.columns : []),
  );
  for (const one of [...doubtful, ...wantedApart]) {
    const decision = await askHeading(talk, table, one, taken);
    decisions.set(one.profile.heading, decision);
    if (decision.as === "column") { for (const column of decision.columns) taken.add(column); }
  }
  const deaths = (of: ColumnProfile) => deathEvidence(of, profile, decisions);
  const result: DecidedTable["decided"] = [];
  for (const { profile: own } of others) {
    const decided: Decision = decisions.get(own.heading) ??
      { as: "open", why: "nothing was decided" };
    const decimal = profile.format?.decimal ?? ".";
    const of = { table, profile: own, decimal, deaths: deaths(own) };
    const decision = decided.as === "column"
      ? await askValues(talk, decided, of) ??
        { as: "open" as const, why: "what its values mean was not said" }
      : decided;
    result.push({ profile: own, decision });
  }
  return result;
}

/** Headings that are like nothing known, in one question; those named in the answer are asked about. */
async function askUnlike(
  talk: Conversation,
  table: TableName,
  unlike: readonly Considered[],
  decisions: Map<string, Decision>,
): Promise<Considered[]> {
  if (unlike.length === 0) return [];
  const answer = await talk.ask({
    id: `${table}.unlike`,
    lines: [
      `The ${table} table: ${unlike.length} columns are like nothing in the dictionary:`,
      ...unlike.map((one) => `  ${lineOf(one)}`),
      '  "ignore" leaves them all out; or name those to be asked about, with ";" between them; "open"',
    ],
    proposal: "ignore",
  });
  const named = (answer ?? "open").split(";").map((name) => name.trim());
  const apart = unlike.filter(({ profile }) => named.includes(profile.heading));
  for (const { profile } of unlike) {
    decisions.set(
      profile.heading,
      answer === undefined || /^open$/i.test(answer)
        ? { as: "open", why: "like nothing in the dictionary" }
        : { as: "ignore", why: "not used" },
    );
  }
  return apart;
}

async function askHeading(
  talk: Conversation,
  table: TableName,
  one: Considered,
  taken: ReadonlySet<string>,
): Promise<Decision> {
  const { profile, decision } = one;
  const twice = decision?.as === "column" && decision.columns.some((name) => taken.has(name));
  const proposal = decision && !twice ? answerFor(decision) : undefined;
  const answer = await talk.ask({
    id: `${table}.${profile.heading}`,
    lines: [
      `What is ${lineOf(one)}${twice ? " (another column is that already)" : ""}`,
      "  a column of the dictionary, with its unit where it is another; " +
      `${Object.keys(sourceKinds).join(", ")}; ignore: why; open`,
      ...textLines(profile, decision),
    ],
    ...(proposal !== undefined && { proposal }),
    wrong: (text) => {
      const meant = decisionOf(table, text);
      if (!meant) return "no column of the dictionary, nor one of the words above";
      const double = meant.as === "column" && meant.columns.find((name) => taken.has(name));
      return double ? `another column is ${double} already` : null;
    },
  });
  const meant = answer === undefined ? null : decisionOf(table, answer);
  if (!meant) return { as: "open", why: "asked about, and not answered" };
  // what was found of the values holds where the column is the one that was proposed
  return meant.as === "column" && decision?.as === "column" &&
      meant.columns.join() === decision.columns.join()
    ? { ...decision, ...meant }
    : meant;
}

/** Of a text of procedures, what its words come to, and the commonest words that none is for. */
function textLines(profile: ColumnProfile, decision: Decision | null): string[] {
  if (decision?.as !== "source" || decision.source !== "text") return [];
  const finders = procedureWords.flatMap(({ words }) =>
    words.flatMap(({ any }) => any.map(wordFinder))
  );
  const rest = new Map<string, number>();
  for (const [value, count] of profile.values) {
    for (const word of plainWords(value).split(" ")) {
      if (!/^\p{L}{3,}$/u.test(word) || finders.some((finds) => finds(word))) continue;
      rest.set(word, (rest.get(word) ?? 0) + count);
    }
  }
  const common = [...rest].sort((a, b) => b[1] - a[1]).slice(0, 10);
  return [
    `  as “text”, a table of words in the study file fills ${
      procedureWords.map(({ column }) => column).join(", ")
    }; you may edit it there`,
    ...(common.length > 0
      ? [`  words it has nothing for: ${common.map(([word, n]) => `${word} (${n})`).join(", ")}`]
      : []),
  ];
}

function lineOf({ profile, decision, confidence, reasons }: Considered): string {
  const values = [...profile.values].sort((a, b) => b[1] - a[1]).slice(0, 5)
    .map(([value, count]) => count > 1 ? `${value} (${count})` : value).join(", ");
  const what = decision === null ? "?" : meaningOf(decision);
  return `“${profile.heading}” [${values}${profile.values.size > 5 ? ", …" : ""}] -> ${what}, ` +
    `confidence ${confidence.toFixed(2)}${reasons.length > 0 ? `: ${reasons.join("; ")}` : ""}`;
}

function meaningOf(decision: Decision): string {
  if (decision.as === "source") return sourceKinds[decision.source];
  if (decision.as !== "column") return `${decision.as} (${decision.why})`;
  const unit = decision.unit ? ` in ${decision.unit}` : "";
  const codes = decision.codes
    ? ` (${Object.entries(decision.codes).slice(0, 6).map(([a, b]) => `${a}=${b}`).join(", ")})`
    : "";
  return `${decision.columns.join(" and ")}${unit}${codes}`;
}

/** Of each value of a status, the share of rows that have a date of death. */
function deathEvidence(
  of: ColumnProfile,
  { columns, first }: TableProfile,
  decisions: ReadonlyMap<string, Decision>,
): DeathEvidence {
  const death = columns.find(({ heading }) => {
    const decision = decisions.get(heading);
    return decision?.as === "source" && decision.source === "death";
  });
  if (!death) return null;
  const counts = new Map<string, [number, number]>();
  for (const row of first) {
    const value = row[of.position] ?? "";
    if (value === "") continue;
    const [all, dead] = counts.get(value) ?? [0, 0];
    counts.set(value, [all + 1, dead + ((row[death.position] ?? "") === "" ? 0 : 1)]);
  }
  return new Map([...counts].map(([value, [all, dead]]) => [value, dead / all]));
}

/** Columns that a clean copy will have nothing for, though every patient must have a value. */
export function stillNeeded(filled: ReadonlySet<string>): string[] {
  return ["op_year", "intended", "final", "fu_days", "dead"].filter((name) =>
    !filled.has(name) && dictionaryColumn("patients", name)?.complete
  );
}
