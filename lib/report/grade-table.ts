import type { GradesAt } from "../competing/mod.ts";
import { isSmall, publishableShare } from "./disclosure.ts";
import { boundedCount } from "./result-tables.ts";
import { type DisplayTable, table, type TableInput, type TableRow } from "./table.ts";

type Heading = Pick<TableInput, "id" | "title" | "caption" | "notes" | "status">;

/**
 * Grades over time, a line a group and time: how many were looked at, and the share with moderate or
 * worse regurgitation among them, and of all operated, the dead counted.
 *
 * Shares that would give away a count below `smallestCell` are left empty.
 */
export function gradeTable(
  heading: Heading & {
    labels: { repair: string; replacement: string };
    smallestCell?: number;
    /** Place of the least grade that counts among the grades, default 2. */
    from?: number;
  },
  groups: readonly { group: string | number; patients: number; at: readonly GradesAt[] }[],
): DisplayTable {
  const { labels, smallestCell = 1, from = 2, ...rest } = heading;
  const rows = [1, 0].flatMap((code) => {
    const own = groups.find(({ group }) => Number(group) === code);
    if (!own) return [];
    // an early share of all patients would tell how few it was
    const ofAll = (share: number) =>
      isSmall(Math.round(share * own.patients), smallestCell) ? null : share;
    return own.at.map((at): TableRow => {
      const found = at.counts.slice(from).reduce((sum, count) => sum + count, 0);
      const worst = at.counts.slice(from + 1).reduce((sum, count) => sum + count, 0);
      const share = publishableShare(found, at.graded, smallestCell);
      // with the share above known, a few in the worst grades would be the rest of it
      const severe = isSmall(found - worst, smallestCell)
        ? null
        : publishableShare(worst, at.graded, smallestCell);
      const { grades, died, operatedAgain } = at.countingDead;
      return {
        years: at.time,
        group: code === 1 ? labels.repair : labels.replacement,
        followed: boundedCount(at.followed, smallestCell),
        notLooked: publishableShare(at.followed - at.graded, at.followed, smallestCell),
        found: share,
        worst: share === null ? null : severe,
        leaking: share === null ? null : grades.slice(from).reduce((sum, one) => sum + one, 0),
        died: ofAll(died),
        operatedAgain: ofAll(operatedAgain),
      };
    });
  });
  return table({
    ...rest,
    columns: [
      { key: "years", label: "Years", kind: "number" },
      { key: "group", label: "Group", kind: "text" },
      { key: "followed", label: "Followed", kind: "number" },
      { key: "notLooked", label: "Not looked at", kind: "percent" },
      { key: "found", label: "2+ or worse, of those looked at", kind: "percent" },
      { key: "worst", label: "3+ or 4+", kind: "percent" },
      { key: "leaking", label: "Of all: alive with 2+ or worse", kind: "percent" },
      { key: "died", label: "Died", kind: "percent" },
      { key: "operatedAgain", label: "Operated again", kind: "percent" },
    ],
    rows,
  });
}

/**
 * Shares of grades to draw: any count from 1 to `smallestCell - 1` is drawn as the geometric middle of
 * that range, so that how few there were does not show and none is drawn more than about three times
 * too large or too small (for 11). The difference goes to the largest count; the sum stays. With
 * fewer than `smallestCell` in all, the shares mean nothing and are NaN.
 */
export function drawableShares(counts: readonly number[], smallestCell: number): number[] {
  const total = counts.reduce((sum, count) => sum + count, 0);
  if (total < smallestCell) return counts.map(() => NaN);
  const drawn = counts.map((count) =>
    isSmall(count, smallestCell) ? Math.sqrt(smallestCell - 1) : count
  );
  const largest = drawn.indexOf(Math.max(...drawn));
  const others = drawn.reduce((sum, count, k) => k === largest ? sum : sum + count, 0);
  drawn[largest] = Math.max(0, total - others);
  const sum = drawn.reduce((all, count) => all + count, 0);
  return drawn.map((count) => count / sum);
}
