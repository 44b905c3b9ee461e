import { ruleHolds } from "../../cohort/analysis/mod.ts";
import { type Analysis, hasColumn } from "../../cohort/model/mod.ts";
import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import type { Rule } from "../../study/parts/mod.ts";

/** One thing that may make an operation hard, for every patient. */
export interface Difficulty {
  /** Name as readers see it. */
  label: string;
  /** 1 where it holds, 0 where not or where a missing value leaves it open. */
  holds: Float64Array;
  /** Patients for whom it is open. */
  unknown: number;
}

/**
 * What the complexity score is made of: what the plan names, or mechanism, leaflets, a previous
 * operation and the thresholds of the plan's subgroups, as far as the file has them. What holds for
 * nobody or everybody is left out.
 */
export function difficultiesOf(analysis: Analysis): Difficulty[] {
  const { study } = analysis;
  const planned = study.programme.difficulties;
  const rules = planned.length > 0 ? planned : standardRules(analysis);
  return rules.map(({ label, rule }) => {
    const found = ruleHolds(analysis, rule, study);
    const unknown = found.reduce((sum, value) => sum + (Number.isNaN(value) ? 1 : 0), 0);
    return { label, holds: found.map((value) => value === 1 ? 1 : 0), unknown };
  }).filter(({ holds }) => holds.includes(0) && holds.includes(1));
}

function standardRules(analysis: Analysis): { label: string; rule: Rule }[] {
  const { study } = analysis;
  const of = (column: string, codes: readonly string[]) =>
    !hasColumn(analysis, column) ? [] : codes.map((code) => {
      const categories = dictionaryColumn("patients", column, study.columns)?.categories;
      const label = categories?.find((one) => one.code === code)?.label ?? code;
      return {
        label: `${column === "leaflet" ? "Leaflet" : "Mechanism"}: ${label}`,
        rule: { column, oneOf: [code] },
      };
    });
  const mechanisms = ["ischaemic", "functional_nonischaemic", "rheumatic", "endocarditis", "other"];
  const redo: { label: string; rule: Rule }[] = hasColumn(analysis, "redo")
    ? [{ label: "Previous heart operation", rule: { column: "redo", oneOf: [1] } }]
    : [];
  const marks = study.thresholds
    .filter(({ purpose, column }) => purpose === "subgroup" && hasColumn(analysis, column))
    .map(({ id, label }) => ({ label, rule: { threshold: id } }));
  return [
    ...of("aetiology", mechanisms),
    ...of("leaflet", ["anterior", "both"]),
    ...redo,
    ...marks,
  ];
}
