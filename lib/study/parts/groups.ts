import { z } from "zod";
import { words } from "./names.ts";
import { ruleSchema } from "./rules.ts";

/** What the groups are called where the plan gives no names: it says how they are taken. */
const labelsBy = {
  intended: { repair: "Repair intended", replacement: "Replacement intended" },
  final: { repair: "Repair completed", replacement: "Replacement completed" },
} as const;

const called = (which: string, { intended, final }: Record<"intended" | "final", string>) =>
  words.optional().describe(
    `What the ${which} group is called. Without it “${intended}” or “${final}”, as by says; needed ` +
      'with by: "rules".',
  );

const both = (of: "repair" | "replacement") => ({
  intended: labelsBy.intended[of],
  final: labelsBy.final[of],
});

/** The two groups of the main comparison. */
export const groupsSchema = z.strictObject({
  by: z.enum(["intended", "final", "rules"]),
  repair: called("first", both("repair")),
  replacement: called("second", both("replacement")),
  rules: z.strictObject({ repair: ruleSchema, replacement: ruleSchema }).optional().describe(
    'With by: "rules": who is in the first and in the second group, whatever they are called. ' +
      "Eligible patients in neither are left out and counted; those in both are an error.",
  ),
}).refine(
  ({ by, rules }) => (by === "rules") === (rules !== undefined),
  { path: ["rules"], message: 'needed with by: "rules", and nowhere else' },
).superRefine(({ by, ...named }, context) => {
  for (const group of ["repair", "replacement"] as const) {
    if (by !== "rules" || named[group] !== undefined) continue;
    const message = 'needed with by: "rules": what the group is called';
    context.addIssue({ code: "custom", path: [group], message });
  }
}).transform(({ by, repair, replacement, ...rest }) => {
  const standard = by === "rules" ? undefined : labelsBy[by];
  return {
    by,
    repair: repair ?? standard?.repair ?? "",
    replacement: replacement ?? standard?.replacement ?? "",
    ...rest,
  };
});
