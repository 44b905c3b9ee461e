import type { Interval } from "../../numerics/mod.ts";
import { eValue } from "../../sensitivity/bias/mod.ts";
import { levelText } from "../../words/mod.ts";
import { type DisplayTable, table } from "../show/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/**
 * Risk ratios, and the risk ratio by which something unmeasured would have to go with both the
 * operation and the outcome to explain each away; without a number where no ratio can be formed.
 */
export function neededTable(
  heading: TableHeading & { confidence: number },
  lines: readonly { what: string; ratio: Interval }[],
): DisplayTable {
  const { confidence, ...rest } = heading;
  const two = { kind: "number" as const, digits: 2 };
  return table({
    ...rest,
    columns: [
      { key: "what", label: "Outcome" },
      { key: "estimate", label: "Risk ratio", ...two },
      { key: "lower", label: `${levelText(confidence)} from`, ...two },
      { key: "upper", label: "to", ...two },
      { key: "needed", label: "E-value", ...two },
      { key: "limit", label: "E-value of the limit nearer 1", ...two },
    ],
    rows: lines.map(({ what, ratio: { estimate, lower, upper } }) => {
      if (!(lower > 0 && upper < Infinity)) {
        return { what, estimate: null, lower: null, upper: null, needed: null, limit: null };
      }
      const needed = eValue(estimate, estimate < 1 ? upper : lower);
      return {
        what,
        estimate,
        lower,
        upper,
        needed: needed.estimate,
        limit: needed.limit ?? null,
      };
    }),
  });
}
