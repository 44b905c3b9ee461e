import type { CompletenessRow } from "../../cohort/follow-up/mod.ts";
import { isSmall, publishableKinds, publishablePart } from "../../disclosure/mod.ts";
import { countText } from "../../words/mod.ts";

/** How follow-up ended for the patients of one group, as it may be published; all are in one. */
export interface FollowUpEnds {
  /** Died. */
  died: number | string;
  /** Alive, and seen in the last year of the study. */
  followed: number | string;
  /** Alive, and last seen more than a year before the study closed. */
  lostEarly: number | string;
}

/** What the three are called after a number, in the order in which they are shown. */
export const endsInWords: Readonly<Record<keyof FollowUpEnds, string>> = {
  died: "died",
  followed: "alive, followed into the last year",
  lostEarly: "alive, last seen over a year before the end",
};

/**
 * How follow-up ended, where the size of the group is published beside it.
 *
 * How many died stands under the curves too. So the two kinds of those alive are published as parts
 * of those alive, whose number follows; only where that, or the number of the dead, is small are
 * all three bounded together, so that each stays open whatever the other two add up to.
 */
export function publishableEnds(
  { patients, died, followed, lostEarly }: Pick<
    CompletenessRow,
    "patients" | "died" | "followed" | "lostEarly"
  >,
  smallestCell: number,
): FollowUpEnds {
  if (typeof publishablePart(died, patients, smallestCell) === "number") {
    const alive = patients - died;
    return {
      died,
      followed: publishablePart(followed, alive, smallestCell),
      lostEarly: publishablePart(lostEarly, alive, smallestCell),
    };
  }
  const kinds = [followed, lostEarly, died];
  const shown = publishableKinds(kinds, { whole: patients, smallestCell });
  // of two small ones the sum must not tell: 19 are 9 and 10
  const large = kinds.findIndex((count) => count >= smallestCell);
  if (kinds.filter((count) => isSmall(count, smallestCell)).length === 2 && large >= 0) {
    const bound = patients - 2 * smallestCell;
    shown[large] = bound > 0 ? `> ${bound}` : `< ${patients}`;
  }
  return { followed: shown[0]!, lostEarly: shown[1]!, died: shown[2]! };
}

/** The three as lines: "165 died". */
export function endsLines(ends: FollowUpEnds): string[] {
  return endsKeys.map((key) => {
    const count = ends[key];
    return `${typeof count === "number" ? countText(count) : count} ${endsInWords[key]}`;
  });
}

/** The three in their order. */
export const endsKeys = ["died", "followed", "lostEarly"] as const;
