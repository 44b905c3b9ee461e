import { thresholdHolds } from "../../cohort/analysis/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { rocCurve, rocDifference } from "../../regression/prediction/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { levelText } from "../../words/mod.ts";
import { type DisplayTable, type Remark, say, table, type TableInput } from "../show/mod.ts";
import type { MeasuredVentricles } from "./impaired-ventricle.ts";
import { ventriclePredictions } from "./ventricle-risk.ts";

/** How many of the plan's warning marks each measured patient had, and how many the plan names. */
export function marksOf(
  { rows }: MeasuredVentricles,
  analysis: Analysis,
  study: Study,
): { marks: number; count: Float64Array } {
  const marks = study.thresholds.filter(({ purpose, column }) =>
    purpose === "warning-mark" && (column === "lvef" || column === "lvesd")
  ).map((threshold) => thresholdHolds(analysis, threshold));
  return {
    marks: marks.length,
    count: Float64Array.from(rows, (row) => marks.filter((holds) => holds[row] === 1).length),
  };
}

/**
 * How well the model's risk and the number of the plan's warning marks tell impaired ventricles
 * from others, and by how much they differ, in the same patients: each predicted by a model made
 * without it.
 */
export function toldApartTable(
  heading: Pick<TableInput, "id" | "title" | "caption">,
  data: MeasuredVentricles,
  analysis: Analysis,
  study: Study,
): DisplayTable | Remark {
  const { marks, count } = marksOf(data, analysis, study);
  if (!data.enough || marks === 0) {
    return say("Too few impaired ventricles, or no warning mark in the plan, to compare with.");
  }
  const { outcome } = data;
  const { confidence } = study;
  const risk = ventriclePredictions(data, study);
  const area = (score: Float64Array) => rocCurve({ outcome, score }, { confidence }).area;
  const number = { kind: "number", digits: 2 } as const;
  return table({
    ...heading,
    columns: [
      { key: "by", label: "Told apart by", kind: "text" },
      { key: "estimate", label: "c-statistic", ...number },
      { key: "lower", label: `${levelText(confidence)} from`, ...number },
      { key: "upper", label: "to", ...number },
    ],
    rows: [
      ["Model", area(risk)] as const,
      ["Number of warning marks", area(count)] as const,
      [
        "Difference: model less marks",
        rocDifference({ outcome, first: risk, second: count }, { confidence }),
      ] as const,
    ].map(([by, { estimate, lower, upper }]) => ({ by, estimate, lower, upper })),
  });
}
