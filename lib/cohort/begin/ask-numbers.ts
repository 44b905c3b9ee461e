import { numberOf } from "../cells/mod.ts";
import type { DictionaryColumn } from "../dictionary/mod.ts";
import { type ColumnProfile, isMissing } from "../propose/mod.ts";
import { answerForCodes, codesOf } from "./answers.ts";
import { areFractions, oddGrade, oddNumber, type OddValue } from "./consider/mod.ts";
import type { AskedValue, Conversation } from "./questions.ts";
import { type Codes, inOrder, valueOf, wholeAnswers } from "./whole-answers.ts";

const kindsInWords = {
  between: "lie between two",
  bound: "are bounds, such as “>60”",
  about: "are rough, such as “ca. 55”",
};

/**
 * Asks about values of a column of numbers that are none: between two, bounds, words, and of grades
 * on which scale they are. "open" where that is not said.
 */
export async function askNumbers(
  talk: Conversation,
  column: DictionaryColumn,
  { profile, decimal, id }: { profile: ColumnProfile; decimal: "." | ","; id: string },
): Promise<{ codes: Codes; missing: string[] } | "open" | null> {
  const graded = column.type === "ordinal";
  const fractions = areFractions(profile.values.keys(), 4);
  const codes: Codes = {};
  const missing: string[] = [];
  const odd = new Map<string, { value: OddValue; count: number }>();
  const unknown: AskedValue[] = [];
  for (const [text, count] of profile.values) {
    const number = numberOf(text, decimal.charCodeAt(0));
    // half a grade is none
    if (!Number.isNaN(number) && (!graded || Number.isInteger(number))) continue;
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
  const scaled = await askScale(talk, column, { profile, codes, id });
  if (scaled === "open") return "open";
  return Object.keys(scaled).length + missing.length > 0
    ? { codes: inOrder(profile, scaled), missing }
    : null;
}

function taken(value: OddValue, how: string): number {
  if (value.kind !== "between") return value.value;
  const { low, high } = value;
  return how === "lower" ? low : how === "higher" ? high : (low + high) / 2;
}

/**
 * Asks on which scale grades are, where those before operation end at 3: a patient who is operated
 * on for regurgitation mostly has the highest grade there is. Where that scale ends at severe, the
 * same is asked of the other columns of grades that end at 3.
 *
 * @returns Codes with those of the scale; "open" where nobody says.
 */
async function askScale(
  talk: Conversation,
  column: DictionaryColumn,
  { profile, codes, id }: { profile: ColumnProfile; codes: Codes; id: string },
): Promise<Codes | "open"> {
  if (column.type !== "ordinal" || column.unit !== "grade") return codes;
  const graded = [...profile.values.keys()].flatMap((value): [string, number][] => {
    const grade = codes[value] ?? (/^[0-4]$/.test(value) ? Number(value) : undefined);
    return typeof grade === "number" ? [[value, grade]] : [];
  });
  const first = column.name === "mr_pre";
  const before = Object.entries(talk.answers)
    .some(([asked, answer]) => asked.endsWith(".mr_pre.values.scale") && answer === "severe");
  if (Math.max(...graded.map(([, grade]) => grade)) !== 3 || (!first && !before)) return codes;
  if (first && profile.filled < fewestGrades) return codes;
  const answer = await talk.ask({
    id: `${id}.scale`,
    lines: [
      `“${profile.heading}” as ${column.label.toLowerCase()}: its grades end at 3. Is that severe, the ` +
      "highest there is, or moderate to severe, with a 4 above it?",
      "  severe: 1 mild, 2 moderate, 3 severe, which is 4 here; more: 3 is moderate to severe",
    ],
    hint: "severe, more or open",
    ...(!first && { proposal: "severe" }),
    form: {
      kind: "one",
      choices: [
        { answer: "severe", label: "3 is severe, the highest" },
        { answer: "more", label: "3 is moderate to severe; there is a 4" },
        { answer: "open", label: "leave the column open" },
      ],
    },
    wrong: (text) => /^(severe|more|open)$/.test(text) ? null : "severe, more or open",
  });
  if (answer === undefined || answer === "open") return "open";
  if (answer === "more") return codes;
  const severe = graded.filter(([, grade]) => grade === 3).map(([value]) => [value, 4]);
  return { ...codes, ...Object.fromEntries(severe) };
}

// of fewer, none need be severe: common practice, no source
const fewestGrades = 20;
