import { z } from "zod";
import { words } from "./names.ts";
import { ruleSchema } from "./rules.ts";

/** The two groups of the main comparison. */
export const groupsSchema = z.strictObject({
  by: z.enum(["intended", "final", "rules"]),
  repair: words.default("Repair").describe("What the first group is called."),
  replacement: words.default("Replacement").describe("What the second group is called."),
  rules: z.strictObject({ repair: ruleSchema, replacement: ruleSchema }).optional().describe(
    'With by: "rules": who is in the first and in the second group, whatever they are called. ' +
      "Eligible patients in neither are left out and counted; those in both are an error.",
  ),
}).refine(
  ({ by, rules }) => (by === "rules") === (rules !== undefined),
  { path: ["rules"], message: 'needed with by: "rules", and nowhere else' },
);
