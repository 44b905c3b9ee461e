import type { ProblemLine } from "../problems/mod.ts";
import { namedBy, type Rule } from "../parts/mod.ts";
import type { Plan } from "./schema.ts";

/** Words of the centre's own that name something else than an option of its plan does. */
export interface StrayWords extends ProblemLine {
  /** What to write in their place. */
  remedy: string;
}

/** An option of the plan, what each choice is called, and the words that mean it alone. */
interface OptionWords {
  option: string;
  /** The plan's choice. */
  chosen: (plan: Plan) => string;
  /** What the plan says, by choice, after "the plan". */
  says: Record<string, string>;
  /** Words that a reader takes for one choice. */
  words: Record<string, RegExp>;
  /** What to write where a word means another choice. */
  write: (plan: Plan) => string;
}

const operation = "(?:mitral |valve )*(?:repairs?|replacements?|operations?|procedures?)";

// "Intended", "all" and "pairs" alone may be about anything: they count beside what they are about.
const table: readonly OptionWords[] = [
  {
    option: "groups.by",
    chosen: ({ groups }) => groups.by,
    says: {
      intended: "takes the groups by the operation intended",
      final: "takes the groups by the final operation",
      rules: "takes the groups by rules",
    },
    words: {
      intended: new RegExp(
        `\\b(?:intended|attempted) ${operation}\\b|\\b${operation} (?:was |were )?` +
          "(?:intended|attempted)\\b|\\bas intended\\b|\\bintention[- ]to[- ]treat\\b",
        "i",
      ),
      final: new RegExp(
        `\\b(?:completed|final) ${operation}\\b|\\b${operation} (?:was |were )?completed\\b|` +
          "\\bas[- ]treated\\b|\\bper[- ]protocol\\b",
        "i",
      ),
    },
    write: ({ groups: { by } }) =>
      by === "rules"
        ? "what the rules ask for"
        : `“repair” and “replacement” alone, or “${
          by === "intended" ? "intended" : "completed"
        } repair”; a group’s own name may be left out`,
  },
  {
    option: "estimand",
    chosen: ({ estimand }) => estimand,
    says: {
      everyone: "weighs the groups to be like everyone eligible",
      treated: "weighs the groups to be like those of the first group",
      overlap: "weighs the groups to be like patients for whom either operation was a choice",
    },
    words: {
      everyone: /\b(?:for|in|of|among) everyone\b|\baverage effect in all patients\b/i,
      treated: /\b(?:in|among|of) (?:the treated|those repaired)\b/i,
      overlap: /\boverlap\b|\bcould have had either\b/i,
    },
    write: () => "the patients whom the plan’s estimand names, or none",
  },
  {
    option: "matching.partners",
    chosen: ({ matching: { partners } }) => (partners === 1 ? "one" : "several"),
    says: {
      one: "gives each patient one partner",
      several: "gives each patient several partners",
    },
    words: {
      one: /\bmatched pairs?\b|\b(?:one[- ]to[- ]one|1:1) match/i,
      several: /\bone[- ]to[- ](?:two|three|four|five)\b|\b1:[2-5] match/i,
    },
    write: ({ matching: { partners } }) =>
      partners === 1 ? "“matched pairs”" : `“matched sets”, or 1:${partners}`,
  },
];

/**
 * Where the title, the question or a name that a centre wrote says something else than the plan's
 * own options do: “an intended repair” where the groups are taken by the final operation.
 *
 * A table of words by option decides; a word that may be about anything is none of it.
 */
export function strayWords(plan: Plan): StrayWords[] {
  return textsOf(plan).flatMap(({ where, text, rules = [] }) =>
    table.flatMap(({ option, chosen, says, words, write }): StrayWords[] => {
      const choice = chosen(plan);
      const named = rules.flatMap((rule) => namedBy(rule).columns);
      const stray = Object.entries(words)
        .filter(([other]) => other !== choice && !named.includes(other))
        .flatMap(([, word]) => word.exec(text)?.[0] ?? []);
      if (stray.length === 0) return [];
      const what = `says “${stray[0]}”, and the plan ${says[choice]} (${option})`;
      return [{ where, what, remedy: `write ${write(plan)}, or change ${option}` }];
    })
  );
}

/** One text of a plan; its rules name columns, of which it may tell. */
interface PlanText {
  where: string;
  text: string;
  rules?: readonly Rule[];
}

/** The texts by which a reader takes what is compared. */
function textsOf({ title, question, groups, populations, endpoints }: Plan): PlanText[] {
  const rules = Object.values(groups.rules ?? {});
  return [
    { where: "title", text: title, rules },
    { where: "question", text: question, rules },
    { where: "groups.repair", text: groups.repair, rules },
    { where: "groups.replacement", text: groups.replacement, rules },
    ...populations.flatMap(({ label, shortLabel = "", rule }, i) => [
      { where: `populations[${i}].label`, text: label, rules: rule && [rule] },
      { where: `populations[${i}].shortLabel`, text: shortLabel, rules: rule && [rule] },
    ]),
    ...endpoints.map(({ label }, i) => ({ where: `endpoints[${i}].label`, text: label })),
  ];
}
