import {
  type DictionaryColumn,
  dictionaryColumn,
  isNumeric,
  type TableName,
} from "../dictionary/mod.ts";
import { codeFor, type ColumnProfile, isMissing } from "../propose/mod.ts";
import { answerForCodes, codesOf } from "./answers.ts";
import type { Decision } from "./consider.ts";
import { areFractions, oddGrade, oddNumber, type OddValue } from "./odd-values.ts";
import type { Conversation } from "./questions.ts";

type Codes = Record<string, string | number>;
type ColumnDecision = Extract<Decision, { as: "column" }>;

/** How a death shows beside a status: share of rows with a date of death, by the status's value. */
export type DeathEvidence = ReadonlyMap<string, number> | null;

/**
 * Asks what the values of a column mean, where that is not beyond doubt: codes one by one, and what
 * lies between two grades or behind a "greater than". A number that stays open stays out of the
 * mapping, and is blank, counted and listed in the clean copy.
 *
 * @returns `null` where codes stay open: the column is then not read.
 */
export async function askValues(
  talk: Conversation,
  decision: ColumnDecision,
  of: { table: TableName; profile: ColumnProfile; decimal: "." | ","; deaths: DeathEvidence },
): Promise<ColumnDecision | null> {
  let result = decision;
  for (const [place, name] of decision.columns.entries()) {
    const column = dictionaryColumn(of.table, name);
    if (!column || column.type === "identifier" || column.type === "code") continue;
    const id = `${of.table}.${of.profile.heading}.${name}.values`;
    const found = column.categories
      ? await askCodes(talk, column, { ...of, id })
      : isNumeric(column)
      ? await askNumbers(talk, column, { ...of, id })
      : null;
    if (found === "open") return null;
    if (!found) continue;
    const { codes, missing } = found;
    result = place === 0
      ? {
        ...result,
        codes,
        ...(missing.length > 0 && { missing: [...new Set([...result.missing ?? [], ...missing])] }),
      }
      : { ...result, otherCodes: { ...result.otherCodes, [name]: codes } };
  }
  return result;
}

async function askCodes(
  talk: Conversation,
  column: DictionaryColumn,
  { profile, deaths, id }: { profile: ColumnProfile; deaths: DeathEvidence; id: string },
): Promise<{ codes: Codes; missing: string[] } | "open"> {
  const codes: Codes = {};
  const missing: string[] = [];
  const lines: string[] = [];
  let doubtful = false;
  const alive = /alive|lebt|living|vivant|vivo|surviv/i.test(profile.heading);
  // beside a 2, a 1 is no yes
  const numbered = [...profile.values.keys()].some((value) =>
    /^\d+$/.test(value) && codeFor(value, column) === null && !isMissing(value)
  );
  for (const [value, count] of profile.values) {
    const known = (numbered && /^\d+$/.test(value)) || (alive && column.name === "dead")
      ? null
      : codeFor(value, column);
    if (
      known !== null &&
      !(column.type !== "binary" && /^[a-z]$/i.test(value) && !/^[fmw]$/i.test(value))
    ) {
      if (value !== known) codes[value] = column.type === "binary" ? Number(known) : known;
      continue;
    }
    if (known === null && isMissing(value)) {
      missing.push(value);
      continue;
    }
    doubtful = true;
    const share = column.name === "dead" ? deaths?.get(value) : undefined;
    const guess = share === undefined ? known : share > 0.9 ? "1" : share < 0.1 ? "0" : null;
    if (guess !== null) codes[value] = column.type === "binary" ? Number(guess) : guess;
    const why = share === undefined
      ? ""
      : ` (${Math.round(100 * share)}% of these rows have a date of death)`;
    lines.push(`  ${value} (${count}): ${guess === null ? "?" : guess}${why}`);
  }
  if (!doubtful) return { codes, missing };
  const complete = lines.every((line) => !/: \?( |$)/.test(line));
  const list = column.categories?.map(({ code, label }) =>
    code === label ? code : `${code} ${label}`
  );
  const answer = await talk.ask({
    id,
    lines: [
      `“${profile.heading}” as ${column.label.toLowerCase()}: what do these values mean?`,
      ...lines,
      `  codes: ${list?.join(", ")}`,
      '  write "theirs=code; theirs=code"; values that are not named stay as proposed or open',
    ],
    ...(complete && { proposal: answerForCodes(codes) }),
    wrong: (text) =>
      /^open$/i.test(text) || codesOf(column, text) ? null : "write theirs=code; theirs=code",
  });
  if (answer === undefined || /^open$/i.test(answer)) return "open";
  return { codes: { ...codes, ...codesOf(column, answer) }, missing };
}

const kindsInWords = {
  between: "lie between two",
  bound: "are bounds, such as “>60”",
  about: "are rough, such as “ca. 55”",
};

async function askNumbers(
  talk: Conversation,
  column: DictionaryColumn,
  { profile, decimal, id }: { profile: ColumnProfile; decimal: "." | ","; id: string },
): Promise<{ codes: Codes; missing: string[] } | null> {
  const graded = column.type === "ordinal";
  const fractions = areFractions(profile.values.keys(), 4);
  const codes: Codes = {};
  const missing: string[] = [];
  const odd = new Map<string, { value: OddValue; count: number }>();
  const unknown: string[] = [];
  for (const [text, count] of profile.values) {
    const plain = decimal === "," ? text.replace(",", ".") : text;
    if (/^-?\d+(\.\d+)?$/.test(plain)) continue;
    const value = graded
      ? oddGrade(text, { most: 4, fractions })
      : oddNumber(text, decimal, column.unit);
    if (value?.kind === "exact") codes[text] = value.value;
    else if (value) odd.set(text, { value, count });
    else if (isMissing(text)) missing.push(text);
    else unknown.push(text);
  }
  for (const kind of ["between", "bound", "about"] as const) {
    const own = [...odd].filter(([, { value }]) => value.kind === kind);
    if (own.length === 0) continue;
    const between = kind === "between";
    const answer = await talk.ask({
      id: `${id}.${kind}`,
      lines: [
        `“${profile.heading}” as ${column.label.toLowerCase()}: ${own.length} of its values ${
          kindsInWords[kind]
        }: ${own.slice(0, 8).map(([text, { count }]) => `${text} (${count})`).join(", ")}`,
        between
          ? "  lower, higher" + (graded ? " or open" : ", middle or open")
          : "  take (the number itself) or open",
      ],
      proposal: between ? graded ? "higher" : "middle" : "take",
      wrong: (text) =>
        (between ? ["lower", "higher", ...(graded ? [] : ["middle"])] : ["take"]).includes(text) ||
          text === "open"
          ? null
          : "one of the words above",
    });
    if (answer === undefined || answer === "open") continue;
    for (const [text, { value }] of own) codes[text] = taken(value, answer);
  }
  if (unknown.length > 0) {
    const answer = await talk.ask({
      id: `${id}.words`,
      lines: [
        `“${profile.heading}” as ${column.label.toLowerCase()}: ${unknown.length} of its values say no number: ${
          unknown.slice(0, 12).join(", ")
        }`,
        '  write "theirs=number; theirs=number", or open: they are then blank, counted and listed',
      ],
      proposal: "open",
      wrong: (text) => text === "open" || codesOf(column, text) ? null : "write theirs=number",
    });
    if (answer !== undefined && answer !== "open") Object.assign(codes, codesOf(column, answer));
  }
  return Object.keys(codes).length + missing.length > 0 ? { codes, missing } : null;
}

function taken(value: OddValue, how: string): number {
  if (value.kind !== "between") return value.value;
  const { low, high } = value;
  return how === "lower" ? low : how === "higher" ? high : (low + high) / 2;
}
