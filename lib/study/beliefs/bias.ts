import { z } from "zod";
import { column, id, words } from "../parts/mod.ts";

const form = {
  even: z.strictObject({ form: z.literal("even"), from: z.number(), to: z.number() }),
  likeliest: z.strictObject({
    form: z.literal("likeliest"),
    from: z.number(),
    likeliest: z.number(),
    to: z.number(),
  }),
  logNormal: z.strictObject({ form: z.literal("log-normal"), from: z.number(), to: z.number() }),
};

const prior = z.discriminatedUnion("form", [form.even, form.likeliest, form.logNormal])
  .refine(({ from, to }) => from <= to, "from must not be above to").describe(
    "What is believed of a number that the file does not have. even: anywhere between two values " +
      "alike; likeliest: rising to one value and falling from it; log-normal: above 0, 95% of the " +
      "belief between the two.",
  );

const share = prior.refine(
  ({ from, to }) => from >= 0 && to <= 1,
  "must lie between 0 and 1",
);

const bounds = z.tuple([z.number().min(0).max(1), z.number().min(0).max(1)]).refine(
  ([least, most]) => least <= most,
  "the first must not be above the second",
);

/** What is believed of confounders that the file does not have, before outcomes were looked at. */
export const biasSchema = z.strictObject({
  supposed: z.array(z.strictObject({
    id,
    label: words.describe("The confounder, as a reader knows it: frailty."),
    outcome: prior.refine(({ from }) => from > 0, "must be above 0").describe(
      "By how much it multiplies the risk of death by the main horizon.",
    ),
    repair: share.describe("Share of the first group with it."),
    replacement: share.describe("Share of the second group with it."),
    source: words,
  })).default([]),
  controls: z.array(z.discriminatedUnion("kind", [
    z.strictObject({
      kind: z.literal("outcome"),
      id,
      label: words.describe("What the operation cannot have changed: hypertension before it."),
      column: column.describe(
        "A yes/no column that the operation cannot change and that is not adjusted for.",
      ),
      source: words.describe("Why the operation cannot have changed it."),
    }),
    z.strictObject({
      kind: z.literal("exposure"),
      id,
      label: words.describe("What cannot have changed the outcome."),
      comparison: id.describe("One of the plan's comparisons of two arms."),
      endpoint: id.describe("The endpoint that it cannot change."),
      source: words.describe("Why it cannot have changed the outcome."),
    }),
  ])).default([]).describe(
    "Negative controls: comparisons that can show no effect, so that whatever they show is bias.",
  ),
  reading: z.strictObject({
    sensitivity: bounds.describe("Of those with a leak of this grade, the share graded so."),
    specificity: bounds.describe("Of those without, the share not graded so."),
    source: words,
  }).optional().describe(
    "How well a reading of the grade of regurgitation tells a leak, between two values each.",
  ),
}).prefault({});
