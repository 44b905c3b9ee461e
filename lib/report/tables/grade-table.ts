import type { GradesAt } from "../../competing/visits/mod.ts";
import type { AtRiskColumns, GradeGroup, GradeVisit } from "../../figures/over-time/mod.ts";
import { numberAtRisk } from "../../figures/drawing/mod.ts";
import {
  partsBetween,
  publishableCuts,
  publishableNested,
  publishableShare,
  publishedShare,
} from "../../disclosure/mod.ts";
import { type DisplayTable, table, type TableRow } from "../show/mod.ts";
import type { GroupLabels, TableHeading } from "../items/mod.ts";

/**
 * Below this share looked at, grades describe the visits and not the valves (common
 * practice, no source).
 */
const leastLookedAt = 0.5;

/**
 * Cuts between grades in the order in which they matter: 2+ first, for it is what
 * counts as recurrence.
 */
const cutsInOrder = [2, 3, 1, 4];

/** Grades of one group at one time, with the numbers of patients that may be published. */
export interface PublishableGrades extends GradesAt {
  /** What of it may be published. */
  shown: {
    followed: number | string;
    graded: number | string;
    /** Grades of which "this or worse" may be told, ascending. */
    cuts: number[];
    /**
     * Share of those looked at with each grade or worse, as it is published; null where not told.
     */
    orWorse: (number | null)[];
    /** Why no grade is told, where none is. */
    notTold?: string;
  };
}

/** One group of {@link publishableGrades}. */
export interface PublishableGradeGroup<Group extends string | number = string | number> {
  /** The group. */
  group: Group;
  /** How many patients. */
  patients: number;
  /** One a time. */
  at: PublishableGrades[];
}

/**
 * What may be told of grades over time. Those followed are among those alive, whose number at risk
 * at whole years is published with the survival curve, and those graded are among both. A grade
 * that too few have is joined with its neighbour; where fewer than half of those followed were
 * looked at, or fewer than `smallestCell`, no grade is told.
 *
 * @param options.alive The survival curves of the same patients, by the same groups.
 */
export function publishableGrades<Group extends string | number>(
  groups: readonly { group: Group; patients: number; at: readonly GradesAt[] }[],
  { alive: curves, smallestCell }: {
    alive: readonly { group: string | number; curve: AtRiskColumns }[];
    smallestCell: number;
  },
): PublishableGradeGroup<Group>[] {
  return groups.map(({ group, patients, at }) => {
    const own = curves.find((curve) => Number(curve.group) === Number(group));
    return {
      group,
      patients,
      at: at.map((one): PublishableGrades => {
        // curves print their numbers at risk at whole years
        const alive = own && Number.isInteger(one.time) ? numberAtRisk(own.curve, [one.time]) : [];
        const counts = [...alive, one.followed, one.graded];
        const [followed = one.followed, graded = one.graded] = publishableNested(
          counts,
          smallestCell,
        ).slice(-2);
        const notTold = whyNotTold(one, smallestCell);
        const cuts = notTold ? [] : publishableCuts(one.counts, {
          smallestCell,
          prefer: cutsInOrder.filter((cut) => cut < one.counts.length),
        });
        const orWorse = one.counts.map((_, grade) => {
          if (notTold || grade > 0 && !cuts.includes(grade)) return null;
          const [, worse = one.graded] = partsBetween(one.counts, grade > 0 ? [grade] : []);
          return publishedShare(worse / one.graded);
        });
        return { ...one, shown: { followed, graded, cuts, orWorse, notTold } };
      }),
    };
  });
}

function whyNotTold({ graded, followed }: GradesAt, smallestCell: number): string | undefined {
  if (graded < smallestCell) return `fewer than ${smallestCell} were looked at`;
  if (graded < leastLookedAt * followed) return "fewer than half of those followed were looked at";
  return undefined;
}

/**
 * One group's bars for a figure of grades, each as high as its published share: a grade that too
 * few have at any of the visits is joined with the one below it in all of them.
 *
 * @param options.grades Names of the grades, least first.
 * @param options.times When, of those in `group`, with the words under each bar.
 */
export function gradeBars(
  group: PublishableGradeGroup,
  { label, grades, times }: {
    label: string;
    grades: readonly string[];
    times: readonly { time: number; label: string }[];
  },
): GradeGroup {
  const visits = times.flatMap(({ time, label }) =>
    group.at.filter((one) => one.time === time).map((one) => ({ label, ...one }))
  );
  const told = visits.filter(({ shown }) => shown.notTold === undefined);
  const cuts = grades.map((_, grade) => grade).filter((grade) =>
    grade > 0 && told.every(({ shown }) => shown.cuts.includes(grade)) &&
    // nobody at any visit: nothing to draw, and no name of its own
    told.some(({ shown }) => shown.orWorse[grade] !== 0)
  );
  const starts = [0, ...cuts];
  return {
    label,
    grades: starts.map((from, k) => {
      const name = grades[from] ?? "";
      const last = (starts[k + 1] ?? grades.length) - 1;
      if (last === from) return { from, label: name };
      const worst = last === grades.length - 1;
      return { from, label: worst ? `${name} or worse` : `${name} to ${grades[last]}` };
    }),
    visits: visits.map(({ label, graded, shown }): GradeVisit => ({
      label,
      n: graded,
      shown: shown.graded,
      leftEmpty: shown.notTold,
      proportions: starts.map((from, k) =>
        (shown.orWorse[from] ?? NaN) - (shown.orWorse[starts[k + 1] ?? NaN] ?? 0)
      ),
    })),
  };
}

/**
 * Grades over time, a line a group and time: how many were followed, what share of them was not
 * looked at, and the share of those looked at with each grade or worse, as
 * {@link publishableGrades} lets it be told.
 */
export function gradeTable(
  heading: TableHeading & {
    labels: GroupLabels;
    /** Names of the grades, least first. */
    grades: readonly string[];
    smallestCell?: number;
  },
  groups: readonly PublishableGradeGroup[],
): DisplayTable {
  const { labels, grades, smallestCell = 1, ...rest } = heading;
  const rows = [1, 0].flatMap((code) =>
    groups.filter(({ group }) => Number(group) === code).flatMap(({ at }) =>
      at.map(({ time, followed, graded, shown }): TableRow => ({
        years: time,
        group: code === 1 ? labels.repair : labels.replacement,
        followed: shown.followed,
        // with the number graded, the share would tell how many were followed
        notLooked: typeof shown.followed === "string" || typeof shown.graded === "string"
          ? null
          : publishableShare(followed - graded, followed, smallestCell),
        ...Object.fromEntries(grades.map((_, k) => [`from${k}`, shown.orWorse[k] ?? null])),
      }))
    )
  );
  return table({
    ...rest,
    columns: [
      { key: "years", label: "Years", kind: "number" },
      { key: "group", label: "Group", kind: "text" },
      { key: "followed", label: "Followed", kind: "number" },
      { key: "notLooked", label: "Not looked at", kind: "percent" },
      ...grades.slice(1).map((name, k) => ({
        key: `from${k + 1}`,
        label: k === grades.length - 2 ? name : `${name} or worse`,
        kind: "percent" as const,
      })),
    ],
    rows,
  });
}
