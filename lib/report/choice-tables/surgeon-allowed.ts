import { type Analysis, hasColumn, textColumn } from "../../cohort/model/mod.ts";
import { surgeonAnswers } from "../../programme/surgeon/mod.ts";
import { levelText } from "../../words/mod.ts";
import { type DisplayTable, table, type TableHeading } from "../show/mod.ts";

/**
 * The main comparison with the surgeon allowed for: errors over surgeons, and a model with a random
 * intercept of the surgeon. Null where the file names fewer than three surgeons.
 */
export function surgeonAllowedTable(
  heading: TableHeading,
  analysis: Analysis,
): DisplayTable | null {
  const { study } = analysis;
  if (!hasColumn(analysis, "surgeon")) return null;
  const codes = new Set(textColumn(analysis, "surgeon").filter((code) => code !== ""));
  if (codes.size < 3) return null;
  const found = surgeonAnswers(analysis, study);
  const { patients, clustered, mixed, warnings } = found;
  const early = Math.min(...study.horizons);
  const per100 = (value: number) => 100 * value;
  const difference = (way: string, of: typeof patients) => ({
    way,
    what: `Alive at ${study.mainHorizon} years, per 100`,
    estimate: per100(of.estimate),
    lower: per100(of.lower),
    upper: per100(of.upper),
  });
  return table({
    ...heading,
    notes: [...warnings, ...heading.notes ?? []],
    columns: [
      { key: "way", label: "The surgeon", kind: "text" },
      { key: "what", label: "Quantity", kind: "text" },
      { key: "estimate", label: "Estimate", kind: "number", digits: 1 },
      { key: "lower", label: `${levelText(study.confidence)} from`, kind: "number", digits: 1 },
      { key: "upper", label: "to", kind: "number", digits: 1 },
    ],
    rows: [
      difference("Left out of account", patients),
      difference("Patients of one surgeon kept together", clustered),
      {
        way: "Random effect of the surgeon",
        what: `Odds ratio of death within ${early} ${early === 1 ? "year" : "years"}`,
        estimate: mixed?.oddsRatio ?? null,
        lower: mixed?.lower ?? null,
        upper: mixed?.upper ?? null,
      },
    ],
  });
}
