import { z } from "zod";
import { itemName, longestItemName } from "../../words/mod.ts";

/** The name of an item: of its file and its anchor. */
export const id = z.string().regex(itemName, "lower-case words joined by hyphens")
  .max(longestItemName);

/** Text of at least one letter. */
export const words = z.string().refine((text) => text.trim() !== "", "a sentence");

/** Whether the study file asked for a result. */
export const status = z.enum(["planned", "exploratory"]);

/** @internal */
type CheckedStatus = z.infer<typeof status>;
/** Whether the plan asked for a result. */
export type PlanStatus = CheckedStatus;

/** How two groups were made comparable. */
export const design = z.enum(["unadjusted", "matched", "weighted"]);
