import type { GradesAt } from "../../competing/visits/mod.ts";
import type { AtRiskColumns } from "../../figures/over-time/mod.ts";
import { numberAtRisk } from "../../figures/drawing/mod.ts";
import { isSmall, publishableNested, publishableShare } from "../../disclosure/mod.ts";
import { type DisplayTable, table, type TableInput, type TableRow } from "../show/mod.ts";

type Heading = Pick<TableInput, "id" | "title" | "caption" | "notes">;

/** Grades of one group at one time, with the numbers of patients that may be published. */
export interface PublishableGrades extends GradesAt {
  shown: {
    followed: number | string;
    graded: number | string;
    /** Shares of each grade to draw, of those looked at. */
    grades: number[];
    /** Shares of all to draw: at most 1+, 2+, 3+ or 4+, operated again, died. */
    ofAll: number[];
    /** Which of `grades` and of `ofAll` are the shares found, not moved by a count too small to tell. */
    exact: { grades: boolean[]; ofAll: boolean[] };
  };
}

/**
 * Which numbers of patients may stand beside grades over time: those followed are among those alive,
 * whose number at risk at whole years is published with the survival curve, and those graded are
 * among both.
 *
 * @param options.alive The survival curves of the same patients, by the same groups.
 */
export function publishableGrades<Group extends string | number>(
  groups: readonly { group: Group; patients: number; at: readonly GradesAt[] }[],
  { alive: curves, smallestCell }: {
    alive: readonly { group: string | number; curve: AtRiskColumns }[];
    smallestCell: number;
  },
): { group: Group; patients: number; at: PublishableGrades[] }[] {
  return groups.map(({ group, patients, at }) => {
    const own = curves.find((curve) => Number(curve.group) === Number(group));
    return {
      group,
      patients,
      at: at.map((one) => {
        // curves print their numbers at risk at whole years
        const alive = own && Number.isInteger(one.time) ? numberAtRisk(own.curve, [one.time]) : [];
        const counts = [...alive, one.followed, one.graded];
        const [followed = one.followed, graded = one.graded] = publishableNested(
          counts,
          smallestCell,
        ).slice(-2);
        const { found, worst } = toldShares(one, { from: 2, smallestCell });
        const told = [...found === null ? [] : [2], ...worst === null ? [] : [3]];
        const grades = drawableShares(one.counts, smallestCell, { told });
        const ofAll = drawableOutcomes(one, { patients, smallestCell, told });
        const exact = {
          grades: alike(grades, one.counts.map((count) => count / one.graded)),
          ofAll: alike(ofAll, outcomesOf(one)),
        };
        return { ...one, shown: { followed, graded, grades, ofAll, exact } };
      }),
    };
  });
}

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
  groups: readonly {
    group: string | number;
    patients: number;
    /** Of {@link publishableGrades}, where other numbers of these patients are published. */
    at: readonly (GradesAt & Partial<PublishableGrades>)[];
  }[],
): DisplayTable {
  const { labels, smallestCell = 1, from = 2, ...rest } = heading;
  const rows = [1, 0].flatMap((code) => {
    const own = groups.find(({ group }) => Number(group) === code);
    if (!own) return [];
    // an early share of all patients would tell how few it was
    const ofAll = (share: number) =>
      isSmall(Math.round(share * own.patients), smallestCell) ? null : share;
    return own.at.map((at): TableRow => {
      const { found, worst } = toldShares(at, { from, smallestCell });
      const { grades, died, operatedAgain } = at.countingDead;
      const [followed = at.followed, graded = at.graded] = publishableNested(
        [at.followed, at.graded],
        smallestCell,
      );
      const { shown = { followed, graded } } = at;
      return {
        years: at.time,
        group: code === 1 ? labels.repair : labels.replacement,
        followed: shown.followed,
        // with the number graded, the share would tell how many were followed
        notLooked: typeof shown.followed === "string" || typeof shown.graded === "string"
          ? null
          : publishableShare(at.followed - at.graded, at.followed, smallestCell),
        found,
        worst,
        leaking: found === null ? null : grades.slice(from).reduce((sum, one) => sum + one, 0),
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

/** Shares of those looked at with a grade from one on, null where it would tell of few. */
function toldShares(
  { counts, graded }: GradesAt,
  { from, smallestCell }: { from: number; smallestCell: number },
) {
  const found = counts.slice(from).reduce((sum, count) => sum + count, 0);
  const worst = counts.slice(from + 1).reduce((sum, count) => sum + count, 0);
  const share = publishableShare(found, graded, smallestCell);
  // with the share above known, a few in the worst grades would be the rest of it
  const severe = share === null || isSmall(found - worst, smallestCell)
    ? null
    : publishableShare(worst, graded, smallestCell);
  return { found: share, worst: severe };
}

/** Shares of all operated: at most 1+, 2+, 3+ or 4+, operated again, died. */
function outcomesOf({ countingDead: { grades, operatedAgain, died } }: GradesAt): number[] {
  const [none = 0, mild = 0, moderate = 0, ...severe] = grades;
  return [none + mild, moderate, severe.reduce((sum, one) => sum + one, 0), operatedAgain, died];
}

function alike(drawn: readonly number[], found: readonly number[]): boolean[] {
  return drawn.map((share, k) => Math.abs(share - (found[k] ?? NaN)) < 1e-9);
}

/** Shares of all operated: those with a grade share what is left by death and another operation. */
function drawableOutcomes(
  { counts, countingDead: { died, operatedAgain } }: GradesAt,
  { patients, smallestCell, told }: {
    patients: number;
    smallestCell: number;
    told: readonly number[];
  },
): number[] {
  const [none = 0, mild = 0, moderate = 0, ...severe] = counts;
  const worst = severe.reduce((sum, count) => sum + count, 0);
  // as small counts are drawn, so that a share of all does not tell how few it was either
  const drawn = (share: number) =>
    isSmall(Math.round(share * patients), smallestCell)
      ? Math.sqrt(smallestCell - 1) / patients
      : share;
  const gone = [drawn(operatedAgain), drawn(died)];
  const left = Math.max(0, 1 - gone.reduce((sum, share) => sum + share, 0));
  const living = drawableShares([none + mild, moderate, worst], smallestCell, {
    told: told.map((place) => place - 1),
  });
  return [...living.map((share) => share * left), ...gone];
}

/**
 * Shares of grades to draw: any count from 1 to `smallestCell - 1` is drawn as the geometric middle of
 * that range, so that how few there were does not show and none is drawn more than about three times
 * too large or too small (for 11). The difference goes to the largest count; the sum stays. With
 * fewer than `smallestCell` in all, the shares mean nothing and are NaN.
 *
 * @param options.told Places from which on the counts are told together elsewhere, such as "2+ or
 * worse": the difference then stays on its side of each, or the others drawn would tell the small one.
 */
export function drawableShares(
  counts: readonly number[],
  smallestCell: number,
  { told = [] }: { told?: readonly number[] } = {},
): number[] {
  const total = counts.reduce((sum, count) => sum + count, 0);
  if (total < smallestCell) return counts.map(() => NaN);
  const edges = [0, ...told, counts.length];
  const drawn = edges.slice(1).flatMap((end, k) =>
    drawable(counts.slice(edges[k], end), smallestCell)
  );
  const sum = drawn.reduce((all, count) => all + count, 0);
  return drawn.map((count) => count / sum);
}

function drawable(counts: readonly number[], smallestCell: number): number[] {
  const drawn = counts.map((count) =>
    isSmall(count, smallestCell) ? Math.sqrt(smallestCell - 1) : count
  );
  const largest = drawn.indexOf(Math.max(...drawn));
  const total = counts.reduce((sum, count) => sum + count, 0);
  const others = drawn.reduce((sum, count, k) => k === largest ? sum : sum + count, 0);
  if (largest >= 0) drawn[largest] = Math.max(0, total - others);
  return drawn;
}
