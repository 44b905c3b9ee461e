import {
  type DictionaryColumn,
  dictionaryColumn,
  isNumeric,
  type TableName,
} from "../dictionary/mod.ts";
import { codeFor, type ColumnProfile, isMissing } from "../propose/mod.ts";
import { answerForCodes, codesOf } from "./answers.ts";
import { askNumbers } from "./ask-numbers.ts";
import { type Decision, mayBeTurned, namesState } from "./consider/mod.ts";
import { type AskedValue, type Conversation, headingId } from "./questions.ts";
import { type Codes, inOrder, valueOf, wholeAnswers } from "./whole-answers.ts";

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
    const id = `${headingId(of.table, of.profile.heading)}.${name}.values`;
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
        ...missingIn([...new Set([...result.missing ?? [], ...missing])]),
      }
      : { ...result, others: { ...result.others, [name]: { codes, ...missingIn(missing) } } };
  }
  return result;
}

const missingIn = (missing: string[]) => missing.length > 0 ? { missing } : {};

async function askCodes(
  talk: Conversation,
  column: DictionaryColumn,
  { profile, deaths, id }: { profile: ColumnProfile; deaths: DeathEvidence; id: string },
): Promise<{ codes: Codes; missing: string[] } | "open"> {
  const codes: Codes = {};
  const missing: string[] = [];
  const asked: AskedValue[] = [];
  const turned = mayBeTurned(profile, column);
  // beside a 2, a 1 is no yes; beside an H, an M is no man
  const unsure = [/^\d+$/, /^\p{L}$/u].filter((kind) =>
    [...profile.values.keys()].some((value) =>
      kind.test(value) && codeFor(value, column) === null && !isMissing(value)
    )
  );
  const stated = codesInHeading(profile.heading, column);
  const shown = column.name === "dead" ? statesOf(deaths) : new Map<string, string>();
  const before = codesOf(column, talk.answers[id] ?? "");
  for (const [value, count] of profile.values) {
    const said = column.name === "dead" && namesState(value);
    const known = unsure.some((kind) => kind.test(value)) || (turned && !said)
      ? null
      : codeFor(value, column);
    if (
      known !== null && (said || (shown.get(value) ?? known) === known) &&
      !(column.type !== "binary" && /^[a-z]$/i.test(value) && !/^[fmw]$/i.test(value))
    ) {
      if (value !== known) codes[value] = column.type === "binary" ? Number(known) : known;
      continue;
    }
    if (known === null && isMissing(value)) {
      missing.push(value);
      continue;
    }
    const share = column.name === "dead" ? deaths?.get(value) : undefined;
    const named = stated.get(value);
    const seen = share === undefined ? known : shown.get(value) ?? null;
    // where name and dates contradict each other nothing is proposed
    const guess = named === undefined || named === seen ? seen : seen === null ? named : null;
    const proposed = guess === null ? null : column.type === "binary" ? Number(guess) : guess;
    const code = before?.codes[value] ?? proposed;
    if (code !== null) codes[value] = code;
    const why = before?.codes[value] !== undefined
      ? "as answered before"
      : named !== undefined && guess === named
      ? "as its name says"
      : share === undefined
      ? ""
      : `${Math.round(100 * share)}% of these rows have a date of death`;
    asked.push({ value, count, ...(code !== null && { code }), ...(why !== "" && { why }) });
  }
  if (asked.length === 0) return { codes, missing };
  const complete = asked.every(({ code }) => code !== undefined);
  const list = (column.categories ?? []).map(({ code, label }) => ({
    answer: code,
    label: code === label ? code : `${code} ${label}`,
  }));
  const answer = await talk.ask({
    id,
    lines: [
      `“${profile.heading}” as ${column.label.toLowerCase()}: what do these values mean?`,
      ...asked.map(({ value, count, code = "?", why }) =>
        `  ${value} (${count}): ${code}${why ? ` (${why})` : ""}`
      ),
      `  codes: ${list.map(({ label }) => label).join(", ")}`,
    ],
    hint: 'write "theirs=code; theirs=code"; values that are not named stay as proposed or open',
    ...(complete && { proposal: answerForCodes(codes) }),
    ...wholeAnswers(column, asked),
    form: { kind: "codes", values: asked, codes: list },
    wrong: (text) =>
      /^open$/i.test(text) || codesOf(column, text) ? null : "write theirs=code; theirs=code",
  });
  if (answer === undefined || /^open$/i.test(answer)) return "open";
  const said = codesOf(column, answer);
  for (const value of said?.open ?? []) delete codes[value];
  const all = { ...codes, ...said?.codes };
  // left open, a 1 or an M would be read as the dictionary's own
  const left = asked.map(valueOf).filter((value) =>
    !Object.hasOwn(all, value) && column.categories?.some(({ code }) => code === value)
  );
  return { codes: inOrder(profile, all), missing: [...missing, ...left] };
}

/** Codes that a heading states itself: "Status (1=alive, 2=dead)". */
function codesInHeading(heading: string, column: DictionaryColumn): Map<string, string> {
  const pairs = heading.matchAll(/([\p{L}\p{N}]+)\s*[=:]\s*(\p{L}[\p{L} -]*)/gu);
  return new Map([...pairs].flatMap(([, value = "", text = ""]): [string, string][] => {
    const code = codeFor(text.trim(), column);
    return code === null ? [] : [[value, code]];
  }));
}

/**
 * Values of a status that nearly only or hardly ever stand beside a date of death, and so mean dead
 * or alive; none, where all are alike.
 */
function statesOf(deaths: DeathEvidence): Map<string, string> {
  const all = [...deaths ?? []].flatMap(([value, share]): [string, string][] =>
    share > 0.9 ? [[value, "1"]] : share < 0.1 ? [[value, "0"]] : []
  );
  return new Set(all.map(([, state]) => state)).size > 1 ? new Map(all) : new Map();
}
