import type { Limits } from "../../numerics/mod.ts";
import { eValue } from "../../sensitivity/bias/mod.ts";
import { formatEstimate, formatNumber, levelText } from "../../words/mod.ts";
import { type DisplayTable, table } from "../show/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/** The E-values of a ratio and of its limit nearer 1; null where no ratio can be formed. */
function neededFor({ estimate, lower, upper }: Limits): ReturnType<typeof eValue> | null {
  if (!(lower > 0 && upper < Infinity)) return null;
  return eValue(estimate, estimate < 1 ? upper : lower);
}

/**
 * Risk ratios, and the risk ratio by which something unmeasured would have to go with both the
 * operation and the outcome to explain each away; without a number where no ratio can be formed.
 */
export function neededTable(
  heading: TableHeading & { confidence: number },
  lines: readonly { what: string; ratio: Limits }[],
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
    rows: lines.map(({ what, ratio }) => {
      const needed = neededFor(ratio);
      return {
        what,
        estimate: needed && ratio.estimate,
        lower: needed && ratio.lower,
        upper: needed && ratio.upper,
        needed: needed && needed.estimate,
        limit: needed?.limit ?? null,
      };
    }),
  });
}

/** How strongly something unmeasured would have to act to explain a ratio away, in one sentence. */
export function neededConfounding(
  what: string,
  ratio: Limits,
): string {
  const needed = neededFor(ratio);
  if (!needed) return `${what}: no ratio can be formed.`;
  const two = (value: number | undefined) => formatNumber(value ?? null, { digits: 2 });
  const found = `${what}: risk ratio ${formatEstimate(ratio, { digits: 2 })}`;
  if (ratio.lower <= 1 && ratio.upper >= 1) {
    return `${found}; its range includes 1, so nothing unmeasured is needed to explain it ` +
      `(E-value of the estimate ${two(needed.estimate)}).`;
  }
  return `${found}; to explain it away, something unmeasured would have to go with both the ` +
    `operation and the outcome by a risk ratio of ${two(needed.estimate)} each (E-value); ` +
    `${two(needed.limit)} would do for the limit nearer 1.`;
}
