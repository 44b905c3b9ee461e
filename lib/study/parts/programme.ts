import { z } from "zod";
import { id, words } from "./names.ts";
import { ruleSchema } from "./rules.ts";

const noSource = "common practice, no source";

/** A rate that the programme aims at. */
const targetSchema = z.strictObject({
  id,
  label: words.describe("Such as: Repair of degenerative valves."),
  value: z.number().gt(0).lt(1).describe("A proportion: 0.9 for 90 in 100."),
  rule: ruleSchema.optional().describe("Of whom; without it, of every eligible patient."),
  source: words.describe("By whom it was set."),
});

/** What may make an operation hard, known before it. */
const difficultySchema = z.strictObject({
  id,
  label: words.describe("Such as: Both leaflets."),
  rule: ruleSchema,
});

/**
 * How the group's own quality is looked at: who repairs what, how well, and whether that changes.
 */
export const programmeSchema = z.strictObject({
  showSurgeons: z.boolean().default(false).describe(
    "Whether results of single surgeons, under neutral labels, are in what is shared. Without it, only " +
      "how much surgeons differ, and bands of volume.",
  ),
  showSurgeonsBecause: words.optional().describe(
    "Why they are shown, such as: the surgeons agreed, or the cohort is invented.",
  ),
  smallestVolume: z.strictObject({ operations: z.int().min(1), source: words })
    .default({ operations: 25, source: noSource })
    .describe("Surgeons with fewer operations than this are put together."),
  doneBefore: z.record(words, z.int().min(0)).default({}).describe(
    "Mitral operations each surgeon had done before the file begins, by the surgeon's code. Surgeons " +
      "who operate from the file's first year on and are not named here are left out of learning curves.",
  ),
  targets: z.array(targetSchema).default([{
    id: "degenerative",
    label: "Repair of degenerative valves",
    value: 0.9,
    rule: { column: "aetiology", oneOf: ["degenerative"] },
    source: noSource,
  }]),
  volumeBands: z.strictObject({
    from: z.array(z.int().min(1)).min(1).refine(
      (from) => from.every((value, k) => k === 0 || value > from[k - 1]!),
      "ascending",
    ),
    source: words,
  }).default({ from: [15], source: noSource }).describe(
    "Mitral operations of a surgeon in a year from which a further band of volume begins.",
  ),
  difficulties: z.array(difficultySchema).default([]).describe(
    "What the complexity score is made of. Without it: mechanism, leaflets, a previous operation, and " +
      "the thresholds that define subgroups.",
  ),
  monitoring: z.strictObject({
    from: z.number().min(1990).max(2101).optional().describe(
      "Operations before this calendar year say what to expect; those from it on are charted. Without " +
        "it, the middle of the years in the file.",
    ),
    oddsRatio: z.number().gt(1).default(2).describe(
      "The change of odds that the charts look for: this for worse, its inverse for better.",
    ),
    runLength: z.int().min(20).default(1000).describe(
      "Operations between two false alarms, on average.",
    ),
    source: words.default(noSource),
  }).prefault({}),
  dates: z.array(z.strictObject({
    at: z.number().min(1990).max(2101).describe("Calendar year, 2018 for its beginning."),
    label: words.describe("What changed then, in a few words."),
  })).default([]).describe("Dates at which results may have changed, named before they were seen."),
}).prefault({});
