import { publishableShare } from "../../disclosure/mod.ts";
import {
  type DurableRepair,
  isWithheld,
  type ProgrammeComplexity,
  type ProgrammeOperations,
  type SurgeonRates,
  type TargetRate,
  type Withheld,
} from "../../programme/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import { rangeText, shareText, targetSentence, wholeText } from "./rates.ts";
import { differenceSentence } from "./surgeons.ts";

/** Where a summary of the programme stops, and how few are not shown. */
export interface SummaryLimits {
  /** Years. */
  mainHorizon: number;
  /** Smallest count that may be published. */
  smallestCell: number;
  /** Fewest at risk with which a curve goes on. */
  smallestAtRisk: number;
}

/** What was found of the programme, in one sentence: how many repairs last. */
export function programmeSentence(
  operations: ProgrammeOperations,
  durable: readonly DurableRepair[],
  { mainHorizon, smallestCell, smallestAtRisk }: SummaryLimits,
): string {
  const { n, repaired } = operations;
  const left = repaired.reduce((sum, value) => sum + value, 0);
  const share = publishableShare(left, n, smallestCell);
  if (share === null) return "Too few patients for a rate of repair.";
  const lasting = lastingOf(durable, { mainHorizon, smallestAtRisk });
  return `${wholeText(share)} of patients left theatre with a repair` +
    (lasting
      ? `; ${wholeText(lasting.durable.estimate)} had one that had not failed ` +
        `${formatNumber(mainHorizon)} years later, or when they died.`
      : ".");
}

/** The rest of it in a few sentences: limits, the plan's aims, surgeons, and the hardest valves. */
export function programmeParagraph(
  { targets, durable, complexity, surgeons }: {
    targets: readonly TargetRate[];
    durable: readonly DurableRepair[];
    complexity: ProgrammeComplexity | Withheld;
    surgeons: SurgeonRates | Withheld;
  },
  shown: SummaryLimits,
): string {
  const lasting = lastingOf(durable, shown);
  return [
    lasting &&
    `The plausible range of the ${wholeText(lasting.durable.estimate)} is ${
      rangeText(lasting.durable)
    }.`,
    targetSentence(targets, shown),
    !isWithheld(surgeons) && differenceSentence(surgeons),
    !isWithheld(complexity) &&
    `The fifth of patients with the hardest valves account for ${
      shareText(complexity.concentration.at(0.2))
    } of the valves not repaired.`,
  ].filter(Boolean).join(" ");
}

function lastingOf(
  durable: readonly DurableRepair[],
  { mainHorizon, smallestAtRisk }: Omit<SummaryLimits, "smallestCell">,
): DurableRepair | undefined {
  return durable.find(({ group, time, atRisk }) =>
    group === "all" && time === mainHorizon && atRisk >= smallestAtRisk
  );
}
