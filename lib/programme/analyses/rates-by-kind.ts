import { extentOf } from "../../numerics/mod.ts";
import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import { hasColumn, textColumn } from "../../cohort/model/mod.ts";
import { proportionInterval } from "../../regression/rates/mod.ts";
import type { ProgrammeOperations } from "../operations/mod.ts";
import type { ProgrammeComplexity } from "./complexity.ts";
import { isWithheld, type Withheld } from "./withheld.ts";

/** How many of one kind of valve, or of one era, were repaired. */
export interface KindRate {
  /** What the kinds are kinds of: mechanism, leaflet, complexity, era. */
  by: string;
  /** Kind of disease. */
  kind: string;
  /** Operations. */
  n: number;
  /** Operations that ended as a repair. */
  repaired: number;
  /** Share repaired, 0 to 1, with limits. */
  rate: { estimate: number; lower: number; upper: number };
}

/** Points of each patient; 0 where there is no score. */
export function complexityPoints(
  operations: ProgrammeOperations,
  complexity: ProgrammeComplexity | Withheld,
): Float64Array {
  return isWithheld(complexity)
    ? new Float64Array(operations.n)
    : Float64Array.from(complexity.score.points);
}

/**
 * Repair rates by mechanism, leaflet, complexity and era, of every eligible patient, with Wilson
 * limits. Eras are divided at the plan's dates, or every five years.
 */
export function repairRatesByKind(
  operations: ProgrammeOperations,
  complexity: ProgrammeComplexity | Withheld,
): KindRate[] {
  const points = isWithheld(complexity) ? undefined : complexity.score.points;
  return [
    ...ratesBy(operations, "Mechanism", categories(operations, "aetiology")),
    ...ratesBy(operations, "Leaflet", categories(operations, "leaflet")),
    ...(points ? ratesBy(operations, "Complexity", Array.from(points, bandOfPoints)) : []),
    ...ratesBy(operations, "Era", erasOf(operations)),
  ];
}

function ratesBy(
  { repaired, analysis }: ProgrammeOperations,
  by: string,
  kinds: readonly string[],
): KindRate[] {
  const { confidence } = analysis.study;
  const rows = Map.groupBy(kinds.keys(), (row) => kinds[row]!);
  rows.delete("");
  const inOrder = by === "Mechanism" || by === "Leaflet"
    ? [...rows].sort(([, a], [, b]) => b.length - a.length)
    : [...rows].sort(([a], [b]) => a < b ? -1 : 1);
  return inOrder.map(([kind, members]) => {
    const count = members.reduce((sum, row) => sum + repaired[row]!, 0);
    const rate = proportionInterval(count, members.length, { confidence });
    return { by, kind, n: members.length, repaired: count, rate };
  });
}

function categories({ analysis }: ProgrammeOperations, column: string): string[] {
  if (!hasColumn(analysis, column)) return [];
  const { categories } = dictionaryColumn("patients", column, analysis.study.columns) ?? {};
  return textColumn(analysis, column)
    .map((code) => categories?.find((one) => one.code === code)?.label ?? code);
}

// One item of the score has up to 5 points: a valve with 4 or more is hard in more than one way, or
// in the hardest.
function bandOfPoints(points: number): string {
  return points <= 0 ? "0 points" : points < 4 ? "1 to 3 points" : "4 points or more";
}

function erasOf({ analysis, year }: ProgrammeOperations): string[] {
  const [first, last] = extentOf(year);
  const dates = analysis.study.programme.dates.map(({ at }) => at).sort((a, b) => a - b);
  const starts = dates.length > 0
    ? [first, ...dates.filter((at) => at > first && at <= last)]
    : Array.from({ length: Math.floor((last - first) / 5) + 1 }, (_, k) => first + 5 * k);
  return Array.from(year, (own) => {
    const k = starts.findLastIndex((start) => own >= start);
    const end = Math.ceil(starts[k + 1] ?? last + 1) - 1;
    const start = Math.ceil(starts[k]!);
    return end > start ? `${start} to ${end}` : `${start}`;
  });
}
