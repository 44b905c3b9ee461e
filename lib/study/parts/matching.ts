import { z } from "zod";
import { column } from "./names.ts";

// Study files written before these names are told the new ones.
const names: Record<string, string> = {
  ratio: "partners",
  replacement: "reuse",
  order: "begin",
  method: "search",
  exact: "alike",
};
const values: Record<string, string> = {
  descending: "highest",
  ascending: "lowest",
  "as-given": "as-listed",
  greedy: "one-by-one",
  optimal: "whole",
};

/** How partners are found: the study file's `matching`. */
export const matchingSchema = z.strictObject({
  caliper: z.number().positive().default(0.2)
    .describe("In pooled standard deviations of the logit of the propensity score."),
  partners: z.int().min(1).max(5).default(1).describe("At most so many for each patient."),
  search: choice(["one-by-one", "whole"]).default("one-by-one").describe(
    "one-by-one: patients choose in turn, in the order that begin says; whole: as many pairs as " +
      "there can be, with the smallest total distance, whatever the order.",
  ),
  begin: choice(["highest", "lowest", "as-listed", "closest"]).default("highest").describe(
    "Order of choosing: the highest or lowest score, whoever is listed first in the file, or " +
      "whichever two are closest.",
  ),
  reuse: z.boolean().default(false).describe("Whether one patient may be partner to several."),
  alike: z.array(column).default([]).describe("Columns in which partners must agree."),
}, {
  error: (issue) => {
    if (issue.code !== "unrecognized_keys") return undefined;
    const old = issue.keys.filter((key) => key in names);
    if (old.length === 0) return undefined;
    const told = old.map((key) => `${key} is now called ${names[key]}`);
    const others = issue.keys.filter((key) => !(key in names));
    if (others.length > 0) told.push(`unrecognized: ${others.join(", ")}`);
    return told.join("; ");
  },
});

function choice<const T extends readonly string[]>(options: T) {
  return z.enum(options, {
    error: ({ input }) =>
      typeof input === "string" && input in values
        ? `${input} is now called ${values[input]}`
        : undefined,
  });
}
