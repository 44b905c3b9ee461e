import type { IncidenceContrast } from "../../competing/incidence/mod.ts";
import { misreadOutcome } from "../../sensitivity/bias/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { formatNumber, levelText, listText } from "../../words/mod.ts";
import type { ControlAnswer } from "../checks/mod.ts";
import { type DisplayTable, table } from "../show/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/** Each negative control with its difference, which bias alone can have made. */
export function controlTable(
  heading: TableHeading,
  controls: readonly ControlAnswer[],
  study: Pick<Study, "confidence" | "smallestDifference">,
): DisplayTable {
  return table({
    ...heading,
    notes: [
      ...controls.map(({ label, source }) => `${label}: ${source}.`),
      ...heading.notes ?? [],
    ],
    columns: [
      { key: "label", label: "What can show no effect", kind: "text" },
      { key: "estimate", label: "Difference", kind: "number", digits: 1 },
      { key: "lower", label: `${levelText(study.confidence)} from`, kind: "number", digits: 1 },
      { key: "upper", label: "to", kind: "number", digits: 1 },
      { key: "verdict", label: "What it shows", kind: "text" },
    ],
    rows: controls.map(({ label, found, why }) => ({
      label,
      estimate: found ? 100 * found.bias.estimate : null,
      lower: found ? 100 * found.bias.lower : null,
      upper: found ? 100 * found.bias.upper : null,
      verdict: found ? verdictOf(found, study) : why,
    })),
  });
}

type Bias = NonNullable<ControlAnswer["found"]>;

/** Bias is ruled out only where the whole range is smaller than a difference that matters. */
function isSmallBias({ bias }: Bias, { smallestDifference }: Pick<Study, "smallestDifference">) {
  const most = smallestDifference.value;
  return bias.lower > -most && bias.upper < most;
}

function verdictOf(found: Bias, study: Pick<Study, "smallestDifference">): string {
  if (found.seen) return "Bias is seen";
  return isSmallBias(found, study) ? "No bias that would matter" : "Not settled";
}

/** What the controls say together. */
export function controlSentence(
  controls: readonly ControlAnswer[],
  study: Pick<Study, "smallestDifference">,
): string {
  const looked = controls.flatMap(({ label, found }) => found ? [{ label, found }] : []);
  if (looked.length === 0) return "The plan names no negative control that could be looked at.";
  const of = (kind: (found: Bias) => boolean) =>
    listText(looked.filter(({ found }) => kind(found)).map(({ label }) => label));
  const seen = of(({ seen }) => seen);
  const open = of((found) => !found.seen && !isSmallBias(found, study));
  const missed = "That does not show that there is no bias: something that bears on the controls " +
    "less than on the outcome would be missed.";
  if (seen !== "") {
    return `Where there can be no effect, one is seen: ${seen}. The main answer may be as biased.`;
  }
  return open === ""
    ? `Where there can be no effect, none that would matter is found. ${missed}`
    : `Where there can be no effect, whether one is found is not settled: ${open}. ${missed}`;
}

/**
 * A difference of recurrence were the grades misread as the study file believes: the outermost
 * differences over all accuracies within their bounds, alike in both groups.
 */
export function misreadTable(
  heading: TableHeading,
  { groups, difference }: IncidenceContrast,
  { bias, confidence }: Pick<Study, "bias" | "confidence">,
): DisplayTable | null {
  const { reading } = bias;
  const [second, first] = groups;
  if (!reading || !first || !second) return null;
  const usable = [first, second].every(({ estimate, standardError }) =>
    Number.isFinite(estimate) && Number.isFinite(standardError)
  );
  if (!usable) return null;
  const found = misreadOutcome({ first, second, accuracy: reading });
  const share = ([least, most]: readonly [number, number]) =>
    `${formatNumber(100 * least)} to ${formatNumber(100 * most)}%`;
  return table({
    ...heading,
    notes: [
      `Sensitivity ${share(reading.sensitivity)}, specificity ${
        share(reading.specificity)
      } of a patient's grades, alike in both groups: ${reading.source}.`,
      ...heading.notes ?? [],
    ],
    columns: [
      { key: "what", label: "Grades", kind: "text" },
      { key: "least", label: "Least", kind: "number", digits: 1 },
      { key: "greatest", label: "Greatest", kind: "number", digits: 1 },
      { key: "lower", label: `${levelText(confidence)} from`, kind: "number", digits: 1 },
      { key: "upper", label: "to", kind: "number", digits: 1 },
    ],
    rows: [
      {
        what: "As read",
        least: 100 * difference.estimate,
        greatest: 100 * difference.estimate,
        lower: 100 * difference.lower,
        upper: 100 * difference.upper,
      },
      {
        what: "Corrected within bounds",
        least: 100 * found.least,
        greatest: 100 * found.greatest,
        lower: 100 * found.lower,
        upper: 100 * found.upper,
      },
    ],
  });
}
