import { designMatrix } from "../../balance/score/mod.ts";
import { numericColumn, textColumn } from "../../cohort/model/mod.ts";
import type { ProgrammeOperations } from "../operations/mod.ts";
import { type SegmentedTrend, segmentedTrend } from "../trend/mod.ts";
import type { Withheld } from "./withheld.ts";

/** What is followed over the years. */
export type YearlyOutcome = "repair" | "age" | "secondary";

/**
 * How the repair rate (with the case mix held alike), age, or the share of secondary regurgitation moved
 * over the calendar years, with changes only at the plan's dates.
 */
export function yearlyTrend(
  operations: ProgrammeOperations,
  outcome: YearlyOutcome,
): SegmentedTrend | Withheld {
  const { analysis, year, repaired } = operations;
  const { confidence, programme } = analysis.study;
  const time = year.map((value) => value + 0.5);
  if (new Set(time).size < 4) return { why: "Fewer than four years of operations." };
  const [first, last] = [Math.min(...time), Math.max(...time)];
  const dates = programme.dates.map(({ at }) => at).filter((at) => at > first && at <= last)
    .sort((a, b) => a - b);
  if (outcome === "age") {
    const age = numericColumn(analysis, "age");
    if (age.some(Number.isNaN)) return { why: "Age is not recorded for everybody." };
    return segmentedTrend({ outcome: age, time }, { kind: "amount", dates, confidence });
  }
  const values = outcome === "repair" ? Float64Array.from(repaired) : Float64Array.from(
    textColumn(analysis, "aetiology"),
    (code) => code === "ischaemic" || code === "functional_nonischaemic" ? 1 : 0,
  );
  if (!values.includes(0) || !values.includes(1)) return { why: "All patients are alike in this." };
  const { covariates, columns } = designMatrix(analysis, analysis.study);
  const caseMix = Object.entries(covariates).filter(([name]) => columns[name] !== "op_year");
  const trend = segmentedTrend({
    outcome: values,
    time,
    ...(outcome === "repair" && { covariates: Object.fromEntries(caseMix) }),
  }, { dates, confidence });
  return trend.reason === undefined ? trend : { why: `No trend could be fitted: ${trend.reason}.` };
}
