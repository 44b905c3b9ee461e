import type { VentricleAfter } from "../../cohort/follow-up/mod.ts";
import type { Arm } from "../../cohort/model/mod.ts";
import { countInWords, publishablePart } from "../../disclosure/mod.ts";
import type { EffectCurve } from "../../figures/drawing/mod.ts";
import {
  capitalized,
  countText,
  formatNumber,
  formatRange,
  inSentence,
  listText,
} from "../../words/mod.ts";
import type { MarkedShare } from "../cohort-tables/mod.ts";
import { type DisplayTable, table, type TableRow } from "../show/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/** One group's ejection fraction before and after, fit to publish. */
export interface VentricleChange {
  /** Which of the two groups. */
  arm: Arm;
  /** Name of the group. */
  group: string;
  /** Patients measured, or a bound. */
  n: number | string;
  /** Mean before, in the measurement's unit. */
  before: number;
  /** Mean after, in the same unit. */
  after: number;
  /** Mean of after less before. */
  change: number;
}

/** The groups that are large enough to publish, repair first as in the study. */
export function publishableChanges(
  { arms, marks }: VentricleAfter,
  { labels, counts }: { labels: Record<Arm, string>; counts: Record<Arm, number> },
  { smallestCell }: { smallestCell: number },
): VentricleChange[] {
  return arms.filter(({ n }) => n >= smallestCell).map(({ arm, n, before, after, change }) => {
    const marked = marks.filter((cell) => cell.arm === arm).reduce((sum, { n }) => sum + n, 0);
    return {
      arm,
      group: labels[arm],
      n: publishablePart(n, [counts[arm], marked], smallestCell),
      before,
      after,
      change,
    };
  });
}

/** Ejection fraction before, after, and its change in the same patients; one line a group. */
export function ventricleChangeTable(
  heading: TableHeading,
  changes: readonly VentricleChange[],
): DisplayTable {
  const percent = { unit: "%", kind: "number" as const, digits: 1 };
  return table({
    ...heading,
    columns: [
      { key: "group", label: "Group", kind: "text" },
      { key: "n", label: "Patients", kind: "number" },
      { key: "before", label: "Before", ...percent },
      { key: "after", label: "After", ...percent },
      { key: "change", label: "Change", ...percent, unit: "points" },
    ],
    rows: changes.map(({ group, n, before, after, change }): TableRow => (
      { group, n, before, after, change }
    )),
  });
}

/** How many patients have both echocardiograms, in a sentence for a caption. */
export function scannedInWords(changes: readonly VentricleChange[]): string {
  if (changes.length === 0) return "";
  const text = (n: number | string) => typeof n === "number" ? countText(n) : n;
  const counts = changes.map(({ group, n }) => `${text(n)} (${inSentence(group)})`);
  return "Patients with an echocardiogram before and about a year after, weighted for having been " +
    `scanned: ${listText(counts)}.`;
}

/** How many were alive with the valve and not measured, at the beginning of a sentence. */
export function notMeasuredInWords(
  { notMeasured }: VentricleAfter,
  { smallestCell }: { smallestCell: number },
): string {
  const count = countInWords(notMeasured.repair + notMeasured.replacement, { smallestCell });
  return `${capitalized(count)} patients alive then`;
}

/** How ejection fraction changed in each group, in one sentence. */
export function ventricleSentence(
  changes: readonly VentricleChange[],
  labels: Record<Arm, string>,
): string {
  if (changes.length === 0) {
    return "Too few patients had an echocardiogram before and about a year after operation.";
  }
  const parts = changes.map(({ arm, change }) =>
    `${formatNumber(Math.abs(change), { digits: 1 })} points ${change < 0 ? "lower" : "higher"} ` +
    `(${labels[arm].toLowerCase()})`
  );
  return `About a year after operation ejection fraction was ${parts.join(" and ")} than before, ` +
    "among those scanned; the groups were not alike to begin with.";
}

/**
 * How many had an impaired ventricle afterwards, by the marks they had before: whole
 * patients of 100.
 * A share that cannot be published is passed over.
 */
export function marksSentence(
  cells: readonly MarkedShare[],
  phrases: Record<Arm, string>,
): string {
  const words = {
    none: "with no warning mark before",
    one: "with one mark",
    both: "with both marks",
  };
  const parts = (["repair", "replacement"] as const).flatMap((arm) => {
    const told = cells.flatMap(({ arm: of, marks, low }) =>
      of === arm && low !== null
        ? [`${formatNumber(100 * low, { digits: 0 })} ${words[marks]}`]
        : []
    );
    return told.length > 0 ? [`after ${phrases[arm]}, ${listText(told)}`] : [];
  });
  return parts.length === 0
    ? "Too few had an echocardiogram to say what the warning marks foretold."
    : `Ejection fraction below 50% about a year later, of 100 patients each: ${parts.join("; ")}.`;
}

/** Risk with its limits at round values of what a curve runs over, a column a curve; per 100. */
export function riskOverTable(
  heading: TableHeading & {
    /** What the curves run over, with its unit. */
    over: { label: string; unit: string };
    at: readonly number[];
  },
  curves: readonly EffectCurve[],
): DisplayTable {
  const { over, at, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "at", label: over.label, unit: over.unit, kind: "number" },
      ...curves.map(({ label = "Risk" }, k) => ({
        key: `curve${k}`,
        label,
        unit: "per 100",
        kind: "text" as const,
      })),
    ],
    rows: at.map((value): TableRow => ({
      at: value,
      ...Object.fromEntries(curves.map((curve, k) => [`curve${k}`, riskText(curve, value)])),
    })),
  });
}

/** "38 (31 to 46)", or nothing where the curve does not reach. */
function riskText({ x, estimate, lower, upper }: EffectCurve, at: number): string | null {
  const k = Array.from(x).indexOf(at);
  if (k < 0) return null;
  const whole = (share: number | undefined) => share === undefined ? null : 100 * share;
  const limits = formatRange(whole(lower?.[k]), whole(upper?.[k]), { digits: 0 });
  return `${formatNumber(whole(estimate[k]), { digits: 0 })} (${limits})`;
}

/** How good a model is, as it looks and corrected for its own optimism. */
export function correctedTable(
  heading: TableHeading,
  lines: readonly { measure: string; apparent: number; corrected: number }[],
): DisplayTable {
  return table({
    ...heading,
    columns: [
      { key: "measure", label: "Measure", kind: "text" },
      { key: "apparent", label: "As it looks", kind: "number", digits: 2 },
      { key: "corrected", label: "Corrected", kind: "number", digits: 2 },
    ],
    rows: lines.map(({ measure, apparent, corrected }) => ({ measure, apparent, corrected })),
  });
}
