import type {
  DurableRepair,
  ProgrammeComplexity,
  TargetRate,
  Withheld,
} from "../../programme/mod.ts";
import { isWithheld } from "../../programme/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import { shareText, targetSentence } from "./rates.ts";

/** The section in a few sentences, written from its results. */
export function programmeSentence(
  { targets, durable, complexity }: {
    targets: readonly TargetRate[];
    durable: readonly DurableRepair[];
    complexity: ProgrammeComplexity | Withheld;
  },
  shown: { mainHorizon: number; smallestCell: number; smallestAtRisk: number },
): string {
  const { mainHorizon, smallestAtRisk } = shown;
  const lasting = durable.find(({ group, time, atRisk }) =>
    group === "all" && time === mainHorizon && atRisk >= smallestAtRisk
  );
  return [
    targetSentence(targets, shown),
    lasting && `Of all patients, ${shareText(lasting.durable)} were repaired and free of failure ` +
      `${formatNumber(mainHorizon)} years later or until death.`,
    !isWithheld(complexity) &&
    `The hardest fifth of valves make ${
        shareText(complexity.concentration.at(0.2))
      } of those not ` +
      "repaired.",
  ].filter(Boolean).join(" ");
}
