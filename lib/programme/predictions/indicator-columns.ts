import type { GroupColumn } from "../../numerics/mod.ts";

/** Name of the column that marks one level. */
export function indicatorName(kind: string, label: string | number): string {
  return `${kind} ${label}`;
}

/** A column of 0 and 1 for each level after the first, named by kind and level. */
export function indicatorColumns(
  kind: string,
  { codes, labels }: GroupColumn,
): Record<string, Float64Array> {
  return Object.fromEntries(
    labels.slice(1).map((label, k) => [
      indicatorName(kind, label),
      Float64Array.from(codes, (code) => code === k + 1 ? 1 : 0),
    ]),
  );
}
