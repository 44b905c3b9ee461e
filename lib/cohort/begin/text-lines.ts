import { type Derived, deriver, plainWords, wordFinder } from "../cells/mod.ts";
import { dictionaryColumn } from "../dictionary/mod.ts";
import type { ColumnProfile } from "../propose/mod.ts";
import { type Decision, procedureWords } from "./consider/mod.ts";

/**
 * Of a text of procedures: what its words come to, column by column, which texts have no word for
 * one that every patient must have, and the commonest words that nothing is made of.
 */
export function textLines(profile: ColumnProfile, decision: Decision | null): string[] {
  if (decision?.as !== "source" || decision.source !== "text") return [];
  return [
    "  as “text”, a table of words in the study file fills these; you may edit it there:",
    ...procedureWords.flatMap((rule) => columnLines(profile, rule)),
    ...restLine(profile),
  ];
}

function columnLines(
  { heading, values }: ColumnProfile,
  { column, words, otherwise }: (typeof procedureWords)[number],
): string[] {
  const several = dictionaryColumn("patients", column)?.type === "set";
  const rest = otherwise === undefined ? {} : { otherwise };
  const derive = deriver({ rule: "words-of", column, from: heading, words, ...rest }, ".", several);
  const counts = new Map<string, number>();
  const without: string[] = [];
  for (const [text, count] of values) {
    const made: Derived = derive(() => text);
    if (typeof made === "string") counts.set(made, (counts.get(made) ?? 0) + count);
    else without.push(text);
  }
  const found = [...counts].sort((a, b) => b[1] - a[1])
    .map(([code, count]) => `${code === "" ? "blank" : code} (${count})`);
  return [
    `    ${column}: ${found.join(", ") || "nothing"}`,
    ...(without.length > 0
      ? [
        `      no word for it in ${without.length}, blank and listed until there is: ${
          without.slice(0, 3).map((text) => `“${text}”`).join(", ")
        }`,
      ]
      : []),
  ];
}

function restLine({ values }: ColumnProfile): string[] {
  const finders = procedureWords.flatMap(({ words }) =>
    words.flatMap(({ any }) => any.map(wordFinder))
  );
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
