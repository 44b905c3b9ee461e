import { z } from "zod";
import { cell, column, id, words } from "./names.ts";

/**
 * Who belongs: a condition on one column, one of the plan's own thresholds or populations, or
 * several of these joined.
 *
 * Where a value is missing a condition on it is undecided, unless it asks for the missing value; a
 * column that does not apply to a patient decides against. `all`, `any` and `not` carry "undecided"
 * on only where it could change the answer.
 */
export type Rule =
  | { all: Rule[] }
  | { any: Rule[] }
  | { not: Rule }
  | { threshold: string }
  | { population: string }
  | { column: string; oneOf: (string | number)[] }
  | { column: string; missing: true }
  | {
    column: string;
    above?: number;
    atLeast?: number;
    below?: number;
    atMost?: number;
    source: string;
  };

const cutOffs = z.strictObject({
  column,
  above: z.number().optional(),
  atLeast: z.number().optional(),
  below: z.number().optional(),
  atMost: z.number().optional(),
  source: words.describe("Where the cut-off came from; it must not have been found in these data."),
}).refine(
  ({ above, atLeast, below, atMost }) =>
    [above, atLeast, below, atMost].some((limit) => limit !== undefined),
  "at least one of above, atLeast, below, atMost",
);

// made once: a schema that names itself
const part: z.ZodType<Rule> = z.lazy(() => oneRule);

const oneRule: z.ZodType<Rule> = z.union([
  z.strictObject({ all: z.array(part).min(1).describe("Every one of these holds.") }),
  z.strictObject({ any: z.array(part).min(1).describe("At least one of these holds.") }),
  z.strictObject({ not: part }).describe("This does not hold."),
  z.strictObject({ threshold: id.describe("One of the thresholds of this file holds.") }),
  z.strictObject({
    population: id.describe("The rule of a population named further up in this file holds."),
  }),
  z.strictObject({
    column,
    oneOf: z.array(cell).min(1).describe(
      "The value is one of these; of a column with several codes, at least one of them is.",
    ),
  }),
  z.strictObject({ column, missing: z.literal(true).describe("There is no value.") }),
  cutOffs,
]).meta({ id: "rule", title: "Rule" });

/** A {@link Rule}, checked. */
export const ruleSchema: z.ZodType<Rule> = part;

/** What a rule names of a plan: its columns, and ids of thresholds and populations. */
export interface Named {
  columns: string[];
  thresholds: string[];
  populations: string[];
}

/** Everything that a rule names, however deep. */
export function namedBy(rule: Rule): Named {
  const named: Named = { columns: [], thresholds: [], populations: [] };
  const walk = (part: Rule): void => {
    if ("all" in part) part.all.forEach(walk);
    else if ("any" in part) part.any.forEach(walk);
    else if ("not" in part) walk(part.not);
    else if ("threshold" in part) named.thresholds.push(part.threshold);
    else if ("population" in part) named.populations.push(part.population);
    else named.columns.push(part.column);
  };
  walk(rule);
  return named;
}
