import { dictionaryColumn } from "../dictionary/mod.ts";
import { type Analysis, butWith, columnOf, lazyColumns } from "../model/mod.ts";

/**
 * The same patients with nothing that was known only after the operation began: columns of before
 * it and no visit. Asked for an outcome, it has no such column. The groups stay as they were made.
 *
 * @example
 * ```ts
 * import { openAnalysis, withoutOutcomes } from "mitral";
 *
 * const { analysis } = await openAnalysis();
 * "dead" in withoutOutcomes(analysis).columns; // false
 * ```
 */
export function withoutOutcomes(analysis: Analysis): Analysis {
  const { columns: own } = analysis.study;
  // by name: a column that is left out is not even looked at
  const before = Object.keys(analysis.columns).filter((name) =>
    dictionaryColumn("patients", name, own)?.stage === "pre-operative"
  );
  const none = new Float64Array(0);
  return butWith(analysis, {
    columns: lazyColumns(new Map(before.map((name) => [name, () => columnOf(analysis, name)]))),
    visits: {
      count: 0,
      offsets: new Int32Array(analysis.n + 1),
      day: none,
      mr: none,
      columns: {},
    },
    procedures: {
      repairRepair: NaN,
      repairReplacement: NaN,
      replacementRepair: NaN,
      replacementReplacement: NaN,
      conversions: [],
    },
  });
}
