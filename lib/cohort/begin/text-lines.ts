import { type Derived, deriver, plainWords, wordFinder } from "../cells/mod.ts";
import { dictionaryColumn } from "../dictionary/mod.ts";
import type { ColumnProfile } from "../propose/mod.ts";
import type { DerivedRule } from "../../study/mapping/mod.ts";
import { type Decision, procedureNumbers, procedureRules, procedureWords } from "./consider/mod.ts";

/**
 * Of a text of procedures: what its words come to, column by column, which texts have no word for
 * one that every patient must have, and the commonest words that nothing is made of.
 */
export function textLines(profile: ColumnProfile, decision: Decision | null): string[] {
  if (decision?.as !== "source" || decision.source !== "text") return [];
  return [
    "  as “text”, a table of words in the study file fills these; you may edit it there:",
    ...procedureRules("").flatMap((rule) => columnLines(profile, rule)),
    ...restLine(profile),
  ];
}

function columnLines({ values }: ColumnProfile, rule: DerivedRule): string[] {
  const { column } = rule;
  const derive = deriver(rule, ".", dictionaryColumn("patients", column)?.type === "set");
  const counts = new Map<string, number>();
  const without: string[] = [];
  for (const [text, count] of values) {
    const made: Derived = derive(() => text);
    if (typeof made === "string") counts.set(made, (counts.get(made) ?? 0) + count);
    else without.push(text);
  }
  const found = [...counts].sort((a, b) => b[1] - a[1])
    .slice(0, mostCodes).map(([code, count]) => `${code === "" ? "blank" : code} (${count})`);
  return [
    `    ${column}: ${found.join(", ") || "nothing"}${counts.size > mostCodes ? ", …" : ""}`,
    ...(without.length > 0
      ? [
        `      not told by ${without.length} of the texts, so blank and listed: ${
          without.slice(0, 3).map((text) => `“${text}”`).join(", ")
        }`,
      ]
      : []),
  ];
}

const mostCodes = 8;

function restLine({ values }: ColumnProfile): string[] {
  const finders = [
    ...procedureWords.flatMap(({ words }) => words.flatMap(({ any }) => any)),
    ...procedureNumbers.flatMap(({ after }) => after),
  ].map(wordFinder);
  const rest = new Map<string, number>();
  for (const [value, count] of values) {
    for (const word of plainWords(value).split(" ")) {
      if (!/^\p{L}{3,}$/u.test(word) || finders.some((finds) => finds(word))) continue;
      rest.set(word, (rest.get(word) ?? 0) + count);
    }
  }
  const common = [...rest].sort((a, b) => b[1] - a[1]).slice(0, 10);
  return common.length > 0
    ? [`  words it has nothing for: ${common.map(([word, n]) => `${word} (${n})`).join(", ")}`]
    : [];
}
