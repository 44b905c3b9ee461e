import type { FindingData, FindingInput } from "../items/mod.ts";

/**
 * What an interval supports. `first` and `second` name the group that did better; `alike`: no
 * difference shown and the range is too small to matter; `uncertain`: the range holds both no
 * difference and one that would matter.
 */
export type Verdict = "first" | "second" | "alike" | "uncertain";

/**
 * The claim a finding's interval allows, and no more.
 *
 * One group did better only where the interval lies wholly to one side of zero and the p value, if
 * there is one, agrees. Where it holds zero, `alike` needs both limits within the smallest
 * difference that matters.
 */
export function verdictOf(finding: FindingData): Verdict {
  return verdictOfRange(finding.difference, {
    moreIsBetter: isGood(finding.quantity),
    confidence: finding.confidence,
    smallestThatMatters: finding.smallestThatMatters,
  });
}

/** The same of a difference alone, first minus second, as proportions. */
export function verdictOfRange(
  { lower, upper, pValue }: { lower: number; upper: number; pValue?: number },
  { moreIsBetter, confidence, smallestThatMatters: margin }: {
    /** Whether more of it is good for the patient. */
    moreIsBetter: boolean;
    confidence: number;
    smallestThatMatters: number;
  },
): Verdict {
  // 1 - 0.95 is a little more than 0.05 in binary: p = 0.05 itself is not below it
  const agrees = pValue === undefined || pValue + confidence < 1 - 1e-12;
  if (agrees && (lower > 0 || upper < 0)) {
    return (lower > 0) === moreIsBetter ? "first" : "second";
  }
  return Math.max(Math.abs(lower), Math.abs(upper)) <= margin ? "alike" : "uncertain";
}

function isGood(quantity: FindingInput["quantity"]): boolean {
  return quantity === "alive" || quantity === "alive without recurrence";
}
