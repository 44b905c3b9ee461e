import { numberOf } from "../cells/mod.ts";
import {
  type DictionaryColumn,
  dictionaryColumn,
  isNumeric,
  type TableName,
} from "../dictionary/mod.ts";
import { codeFor, type ColumnProfile, isMissing } from "../propose/mod.ts";
import { answerForCodes, codesOf } from "./answers.ts";
import {
  areFractions,
  type Decision,
  mayBeTurned,
  namesState,
  oddGrade,
  oddNumber,
  type OddValue,
} from "./consider/mod.ts";
import { type AskedValue, type Conversation, headingId } from "./questions.ts";

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
        ...stated([...new Set([...result.missing ?? [], ...missing])]),
      }
      : { ...result, others: { ...result.others, [name]: { codes, ...stated(missing) } } };
  }
  return result;
}

const stated = (missing: string[]) => missing.length > 0 ? { missing } : {};

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
    const guess = share === undefined ? known : shown.get(value) ?? null;
    const proposed = guess === null ? null : column.type === "binary" ? Number(guess) : guess;
    const code = before?.codes[value] ?? proposed;
    if (code !== null) codes[value] = code;
    const why = before?.codes[value] !== undefined
      ? "as answered before"
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

/** Codes in the order of the file's values, whatever order they were named in. */
function inOrder({ values }: ColumnProfile, codes: Codes): Codes {
  const found = [...values.keys()].filter((value) => Object.hasOwn(codes, value));
  return { ...Object.fromEntries(found.map((value) => [value, codes[value]!])), ...codes };
}

/** Answers about values are kept with all that was asked about, so that new values show. */
function wholeAnswers(column: DictionaryColumn, asked: readonly AskedValue[]) {
  const saying = (answer: string) => {
    const said = codesOf(column, answer);
    return new Set([...Object.keys(said?.codes ?? {}), ...said?.open ?? []]);
  };
  return {
    covers(answer: string): boolean {
      if (/^open$/i.test(answer)) return true;
      const said = saying(answer);
      return asked.every(({ value }) => said.has(value));
    },
    whole(answer: string): string {
      const found = /^open$/i.test(answer) ? null : codesOf(column, answer);
      if (!found) return answer;
      const said = saying(answer);
      const rest = asked.filter(({ value }) => !said.has(value));
      const proposed = rest.flatMap(({ value, code }) => code === undefined ? [] : [[value, code]]);
      const open = rest.filter(({ code }) => code === undefined).map(({ value }) => value);
      return answerForCodes({ ...found.codes, ...Object.fromEntries(proposed) }, [
        ...found.open,
        ...open,
      ]);
    },
  };
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
  const unknown: AskedValue[] = [];
  for (const [text, count] of profile.values) {
    if (!Number.isNaN(numberOf(text, decimal.charCodeAt(0)))) continue;
    const value = graded
      ? oddGrade(text, { most: 4, fractions })
      : oddNumber(text, decimal, column.unit);
    if (value?.kind === "exact") codes[text] = value.value;
    else if (value) odd.set(text, { value, count });
    else if (isMissing(text)) missing.push(text);
    else unknown.push({ value: text, count });
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
      ],
      hint: between
        ? `lower, higher${graded ? "" : ", middle"} or open`
        : "take (the number itself) or open",
      proposal: between ? graded ? "higher" : "middle" : "take",
      form: {
        kind: "one",
        choices: [
          ...(between
            ? ["lower", "higher", ...(graded ? [] : ["middle"])]
              .map((answer) => ({ answer, label: `the ${answer}` }))
            : [{ answer: "take", label: "the number itself" }]),
          { answer: "open", label: "leave open: blank, counted and listed" },
        ],
      },
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
    const before = codesOf(column, talk.answers[`${id}.words`] ?? "")?.codes ?? {};
    const values = unknown.map((one) =>
      Object.hasOwn(before, one.value)
        ? { ...one, code: before[one.value]!, why: "as answered before" }
        : one
    );
    const kept = wholeAnswers(column, values);
    const answer = await talk.ask({
      id: `${id}.words`,
      lines: [
        `“${profile.heading}” as ${column.label.toLowerCase()}: ${unknown.length} of its values say no number: ${
          values.slice(0, 12).map(({ value, code }) =>
            code === undefined ? value : `${value} (${code} before)`
          ).join(", ")
        }`,
      ],
      hint:
        'write "theirs=number; theirs=number", or open: they are then blank, counted and listed',
      proposal: Object.keys(before).length > 0
        ? answerForCodes(before, values.filter(({ code }) => code === undefined).map(valueOf))
        : "open",
      covers: kept.covers,
      whole: (text) =>
        kept.whole(/^open$/i.test(text) ? answerForCodes({}, values.map(valueOf)) : text),
      form: { kind: "codes", values, codes: null },
      wrong: (text) => text === "open" || codesOf(column, text) ? null : "write theirs=number",
    });
    if (answer !== undefined && answer !== "open") {
      Object.assign(codes, codesOf(column, answer)?.codes);
    }
  }
  return Object.keys(codes).length + missing.length > 0
    ? { codes: inOrder(profile, codes), missing }
    : null;
}

const valueOf = ({ value }: AskedValue) => value;

function taken(value: OddValue, how: string): number {
  if (value.kind !== "between") return value.value;
  const { low, high } = value;
  return how === "lower" ? low : how === "higher" ? high : (low + high) / 2;
}
