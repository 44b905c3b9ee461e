import { DataError } from "../../numerics/mod.ts";
import { formatChange, formatNumber, per100 } from "../../words/mod.ts";

/** One effect with its limits. */
export interface ForestRow {
  /** Name as readers see it. */
  label: string;
  /** The estimate. */
  estimate: number;
  /** Lower limit. */
  lower: number;
  /** Upper limit. */
  upper: number;
  /** The risk in each group as it is to be printed, in the order of the figure's groups. */
  risks?: readonly string[];
  /** What is to stand under the label, such as "195 patients". */
  counts?: readonly string[];
}

/** A ratio, or a difference of proportions. */
export type EffectScale = "ratio" | "difference";

/** An effect in figures: the estimate, and its limits where there are any. */
export function effectParts(row: ForestRow, scale: EffectScale): string[] {
  const text = (value: number) =>
    scale === "ratio" ? formatNumber(value, { digits: 2 }) : perHundred(value, 1);
  if (Number.isNaN(row.estimate)) return ["no estimate"];
  if (!hasLimits(row)) return [text(row.estimate), "no limits"];
  return [text(row.estimate), `${text(row.lower)} to ${text(row.upper)}`];
}

/** An effect in one line. */
export function effectText(row: ForestRow, scale: EffectScale): string {
  const [estimate = "", limits] = effectParts(row, scale);
  if (limits === undefined) return estimate;
  return hasLimits(row) ? `${estimate} (${limits})` : `${estimate}, ${limits}`;
}

/** A difference of proportions in patients per 100, with its sign. */
export function perHundred(value: number, digits: number): string {
  return formatChange(per100(value), { digits });
}

export function hasLimits({ estimate, lower, upper }: ForestRow): boolean {
  return !Number.isNaN(estimate) && !Number.isNaN(lower) && !Number.isNaN(upper);
}

export function checkRows(
  rows: readonly ForestRow[],
  { scale, groups }: { scale: EffectScale; groups?: readonly string[] },
): void {
  if (rows.length === 0) throw new DataError("sections", "with at least one row", "none");
  rows.forEach((row, i) => {
    const { estimate, lower, upper, risks } = row;
    for (const value of [estimate, lower, upper]) {
      if (typeof value !== "number") throw new DataError("rows", "numbers or NaN", value, i);
    }
    if (groups && risks && risks.length !== groups.length) {
      throw new DataError("rows.risks", `one of each of ${groups.length} groups`, risks, i);
    }
    if (!hasLimits(row)) return;
    if (!(lower <= estimate && estimate <= upper)) {
      throw new DataError("rows.estimate", `from ${lower} to ${upper}`, estimate, i);
    }
    if (scale === "ratio" && !(lower > 0)) {
      throw new DataError("rows.lower", "> 0 for a ratio", lower, i);
    }
  });
}
