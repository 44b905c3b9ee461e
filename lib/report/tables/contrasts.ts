import { levelText } from "../../words/mod.ts";
import type { TableColumn } from "../show/mod.ts";

/** Columns of a difference per 100 with its limits and p value. */
export function differenceColumns(confidence: number): TableColumn[] {
  return [...limitColumns(confidence), { key: "p", label: "p", kind: "pvalue" }];
}

/** Columns of a difference per 100 with its limits. */
export function limitColumns(confidence: number): TableColumn[] {
  const digits = { kind: "number", digits: 1 } as const;
  return [
    { key: "estimate", label: "Difference", unit: "per 100", ...digits },
    { key: "lower", label: `${levelText(confidence)} from`, ...digits },
    { key: "upper", label: "to", ...digits },
  ];
}

/** The estimate of either group of a contrast, by the group's code: 1 the first, 0 the second. */
export function estimatesOf(
  { groups }: { groups: readonly { group: string | number; estimate: number }[] },
): (code: 0 | 1) => number {
  return (code) => groups.find(({ group }) => Number(group) === code)!.estimate;
}
