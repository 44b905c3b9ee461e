import type { Unit } from "../../study/mapping/mod.ts";
import { factorFrom, isDate, unitsFor } from "../cells/mod.ts";
import { dictionaryColumn, type TableName } from "../dictionary/mod.ts";
import type { ColumnProfile, TableProfile } from "../propose/mod.ts";
import { answerFor, decisionOf, partsOf, unquoted } from "./answers.ts";
import { textLines } from "./text-lines.ts";
import { askSome } from "./ask-some.ts";
import { askValues, type DeathEvidence } from "./ask-codes.ts";
import { type Considered, considerHeadings, type Decision, sourceKinds } from "./consider/mod.ts";
import type { DecidedTable } from "./draft-mapping.ts";
import { type Conversation, headingId } from "./questions.ts";
import { headingLine, type ShownHeading, shownHeading } from "./shown-heading.ts";

/** Told what needs no answer. */
export interface Say {
  (line: string): void;
}

/** Told of every heading of a table, before any is asked about. */
export type Show = (headings: readonly ShownHeading[]) => void;

export async function askHeadings(
  talk: Conversation,
  say: Say,
  { table, profile, id, show }: {
    table: TableName;
    profile: TableProfile;
    id: string;
    show?: Show;
  },
): Promise<DecidedTable["decided"]> {
  const others = considerHeadings(table, profile.columns.filter(({ heading }) => heading !== id));
  // what a person once said of a heading goes before what seems beyond doubt
  const said = ({ profile: { heading } }: Considered) =>
    talk.answers[headingId(table, heading)] !== undefined ||
    talk.asksAgain(headingId(table, heading));
  const sure = others.filter((one) => (one.sure || one.valuesOnly) && !said(one));
  const unlike = others.filter((one) => one.decision === null && !one.rivalled && !said(one));
  const doubtful = others.filter((one) => !sure.includes(one) && !unlike.includes(one));
  show?.(others.map((one) => shownHeading(table, one)));
  const lines = (all: readonly Considered[]) =>
    all.map((one) => `  ${headingLine(shownHeading(table, one))}`);
  const valued = sure.filter((one) => !one.sure);
  say(`\nThe ${table} table, ${profile.rows} rows. Beyond doubt:`);
  for (const line of lines(sure.filter((one) => one.sure))) say(line);
  if (valued.length > 0) say("What these are is beyond doubt; what their values mean is not:");
  for (const line of lines(valued)) say(line);
  const decisions = new Map<string, Decision>();
  for (const one of sure) decisions.set(one.profile.heading, one.decision!);
  const wantedApart = await askUnlike(talk, table, unlike, decisions);
  const taken = new Set(["id", ...[...decisions.values()].flatMap(takenBy)]);
  for (const one of [...doubtful, ...wantedApart]) {
    const decision = await askHeading(talk, table, one, taken);
    decisions.set(one.profile.heading, decision);
    for (const one of takenBy(decision)) taken.add(one);
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
      : decided.as === "source"
      ? await askWords(talk, decided, of)
      : decided;
    result.push({ profile: own, decision });
  }
  return result;
}

/**
 * Headings that are like nothing known, in one question; those named in the answer are asked about.
 */
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
      `The ${table} table: ${
        unlike.length === 1 ? "1 column is" : `${unlike.length} columns are`
      } like nothing in the dictionary:`,
      ...unlike.map((one) => `  ${headingLine(shownHeading(table, one))}`),
    ],
    hint:
      '"ignore" leaves them all out; or name those to be asked about, with ";" between them; "open"',
    proposal: "ignore",
    // what is like nothing next year is other columns
    once: true,
    form: {
      kind: "some",
      names: unlike.map(({ profile }) => profile.heading),
      joint: "; ",
      none: "ignore",
      what: "Ask me about",
    },
  });
  const named = partsOf(answer ?? "open").map(unquoted);
  const apart = unlike.filter(({ profile }) => named.includes(profile.heading));
  const open = answer === undefined || /^open$/i.test(answer);
  for (const one of unlike) {
    const { heading } = one.profile;
    const decision: Decision = open
      ? { as: "open", why: "like nothing in the dictionary" }
      : { as: "ignore", why: "not used" };
    decisions.set(heading, decision);
    if (!open && !apart.includes(one)) {
      await talk.remember(headingId(table, heading), answerFor(decision));
    }
  }
  return apart;
}

/** Columns and sources that no second heading may be. */
function takenBy(decision: Decision): string[] {
  if (decision.as === "column") return decision.columns;
  return decision.as === "source" ? [sourceKinds[decision.source]] : [];
}

async function askHeading(
  talk: Conversation,
  table: TableName,
  one: Considered,
  taken: ReadonlySet<string>,
): Promise<Decision> {
  const { profile, decision } = one;
  const twice = decision !== null && takenBy(decision).some((name) => taken.has(name));
  const proposal = decision && !twice ? answerFor(decision) : undefined;
  const shown = shownHeading(table, one);
  const answer = await talk.ask({
    id: headingId(table, profile.heading),
    lines: [
      `What is ${headingLine(shown)}`,
      ...(twice ? ["  another column is that already"] : []),
      ...textLines(profile, decision),
    ],
    hint: `a column of the dictionary, with its unit where it is another; ${
      Object.keys(sourceKinds).join(", ")
    }; ignore: why; open`,
    ...(proposal !== undefined && { proposal }),
    about: shown,
    // another year's file may have it in another unit
    covers: (text) => {
      const meant = decisionOf(table, text);
      return meant?.as !== "column" || mostlyIn(table, profile, meant);
    },
    form: { kind: "heading", table },
    wrong: (text) => {
      const meant = decisionOf(table, text);
      if (!meant) return "no column of the dictionary, nor one of the words above";
      const unfit = meant.as === "column" && unitUnfit(table, meant);
      if (unfit) return unfit;
      const double = takenBy(meant).find((name) => taken.has(name));
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

/**
 * Asks which words among dates stand for a blank. A date of death that is filled means a death: so
 * where that stays open, the column is not read.
 */
async function askWords(
  talk: Conversation,
  decision: Extract<Decision, { as: "source" }>,
  { table, profile }: { table: TableName; profile: ColumnProfile },
): Promise<Decision> {
  if (profile.dates === 0) return decision;
  const words = [...profile.values].filter(([value]) => !isDate(value));
  if (words.length === 0) return decision;
  const blanks = await askSome(talk, {
    id: `${headingId(table, profile.heading)}.words`,
    lines: [
      `“${profile.heading}” as ${sourceKinds[decision.source]}: ${words.length} of its values ${
        words.length === 1 ? "is no date" : "are no dates"
      }: ${words.slice(0, 12).map(([value, count]) => `${value} (${count})`).join(", ")}`,
      "  which of them stand for a blank?",
    ],
    names: words.map(([value]) => value),
    what: "These stand for a blank",
  });
  return blanks
    ? { ...decision, ...(blanks.length > 0 && { blanks }) }
    : { as: "open", why: "what stands there in place of dates was not said" };
}

/** Whether the most of a column's numbers are in the range of the column that it is to be. */
function mostlyIn(
  table: TableName,
  { sample }: ColumnProfile,
  { columns, unit }: { columns: string[]; unit?: Unit },
): boolean {
  const column = dictionaryColumn(table, columns[0] ?? "");
  if (!column?.hard || sample.length === 0) return true;
  const { min, max } = column.hard;
  const factor = unit ? factorFrom(unit, column) ?? 1 : 1;
  const within = sample.filter((value) => value * factor >= min && value * factor <= max);
  return 2 * within.length > sample.length;
}

/** Why a column cannot be in the unit that an answer says; "" where it can. */
function unitUnfit(
  table: TableName,
  { columns, unit }: { columns: string[]; unit?: Unit },
): string {
  if (unit === undefined) return "";
  const column = dictionaryColumn(table, columns[0] ?? "");
  const units = column ? unitsFor(column) : [];
  return units.includes(unit)
    ? ""
    : units.length === 0
    ? `${columns[0]} has no unit`
    : `the unit of ${columns[0]} may be ${units.join(", ")}`;
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
    counts.set(value, [all + 1, dead + (isDate(row[death.position] ?? "") ? 1 : 0)]);
  }
  return new Map([...counts].map(([value, [all, dead]]) => [value, dead / all]));
}
