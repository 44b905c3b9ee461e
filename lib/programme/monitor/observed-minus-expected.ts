import { binaryColumn, checkDataColumns, type Numbers } from "../../numerics/mod.ts";
import { riskColumn } from "./risk-column.ts";

/**
 * Failures observed minus expected, added up along a series of operations.
 *
 * Rises while more fail than expected; wanders by chance, ever further from 0 the longer the
 * series, so a height is no signal (for that: `riskAdjustedCusum`). Cost O(n).
 *
 * @example
 * ```ts
 * import { observedMinusExpected } from "mitral";
 *
 * observedMinusExpected({ outcome: [0, 1], expected: [0.1, 0.2] }); // -0.1, 0.7
 * ```
 * @param data.outcome 1 for a failure, 0 otherwise, in order of operation.
 * @param data.expected Risks, strictly between 0 and 1.
 * @returns One value an operation, in failures.
 * @throws {DataError}
 * @see Lovegrove et al. (1997) Lancet 350:1128-1130 (with the sign turned round).
 */
export function observedMinusExpected(
  data: { outcome: Numbers; expected: Numbers },
): Float64Array {
  checkDataColumns("observedMinusExpected", data, ["outcome", "expected"]);
  const outcome = binaryColumn("outcome", data.outcome);
  const expected = riskColumn("expected", data.expected, outcome.length);
  let sum = 0;
  return expected.map((risk, i) => sum += outcome[i]! - risk);
}
