import { z } from "zod";
import { id, words } from "../parts/mod.ts";

/** The one endpoint that the study is to be judged by, and how the others are to be read. */
export const primarySchema = z.strictObject({
  endpoint: id.describe("One of the endpoints."),
  rest: words.describe(
    "How every other endpoint, population and comparison is to be read, as a sentence.",
  ),
}).optional();

/** What was expected before outcomes were looked at, for the precision of the comparison. */
export const precisionSchema = z.strictObject({
  power: z.number().gt(0.5).lt(1).default(0.8),
  expected: z.array(z.strictObject({
    endpoint: id.describe("One of the endpoints."),
    share: z.number().gt(0).lt(1).describe(
      "Share of patients expected to have had it by the main horizon, both groups together.",
    ),
    diedBefore: z.number().min(0).lt(1).default(0).describe(
      "Share expected to have had a competing event by then, and not the endpoint.",
    ),
    source: words.describe("Where the expectation comes from; never the study's own outcomes."),
  })).default([]),
}).prefault({});
