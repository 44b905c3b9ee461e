import type { Plan } from "./schema.ts";

/** The two groups as they read within a sentence, as the plan takes them. */
export interface GroupPhrases {
  /** After "after": an intended repair, or a completed one. */
  readonly repair: string;
  /** The replacement group within a sentence. */
  readonly replacement: string;
  /** After "the" or "by": what the groups were taken by. */
  readonly by: string;
  /** After "the plan takes each patient by": why, where a reader could wonder. */
  readonly rule: string;
}

/**
 * The words for the two groups, from the one option of the plan that decides them, `groups.by`: no
 * sentence, label or caption has words of its own.
 *
 * @example
 * ```ts
 * import { groupPhrases, openAnalysis } from "mitral";
 * const { study } = await openAnalysis();
 * const phrases = groupPhrases(study.groups);
 * `alive after ${phrases.repair}`; // "alive after an intended repair"
 * ```
 */
export function groupPhrases(
  { by, repair, replacement }: Omit<Plan["groups"], "rules">,
): GroupPhrases {
  if (by === "rules") {
    return { repair, replacement, by: "the plan's rules", rule: "the rules that the plan gives" };
  }
  return by === "intended"
    ? {
      repair: "an intended repair",
      replacement: "an intended replacement",
      by: "intended operation",
      rule: "the operation intended when it began, so that a repair that had to be turned into a " +
        "replacement on the same day still counts as an intended repair",
    }
    : {
      repair: "a completed repair",
      replacement: "a completed replacement",
      by: "final operation",
      rule:
        "the valve the patient left theatre with, so that a repair that had to be turned into a " +
        "replacement on the same day counts as a replacement",
    };
}
