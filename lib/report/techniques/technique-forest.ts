import type { ArmEndpoint, ComparisonAnswer } from "../../comparisons/arms/mod.ts";
import type { ForestRow, ForestSection } from "../../figures/estimates/mod.ts";
import { sizeInWords } from "../valves/mod.ts";
import { shownArms } from "./technique-arms.ts";
import { formatChange, per100, shareText } from "../../words/mod.ts";

/**
 * The sections of a forest of techniques for one outcome: one a comparison, one row a pair of arms
 * with how many patients they have, drawn with the limits that hold for all pairs together. A
 * comparison without a number says why.
 */
export function techniqueSections(
  compared: readonly ComparisonAnswer[],
  endpoint: string,
  { smallestCell }: { smallestCell: number },
): ForestSection[] {
  return compared.flatMap(({ comparison, answers, why }): ForestSection[] => {
    const patients = shownArms(comparison, answers?.design, smallestCell);
    const sizeOf = (ids: readonly string[]) =>
      sizeInWords(ids.map((id) => patients[comparison.arms.findIndex((arm) => arm.id === id)]!), {
        effective: ids.map((id) =>
          answers?.design.after?.arms.find(({ arm }) => arm === id)?.effective
        ),
        smallestCell,
      });
    const found = answers?.endpoints.find((one) => one.endpoint === endpoint);
    if (answers && !found) return [];
    const rows = found && found.contrasts.length > 0 ? rowsOf(found, sizeOf) : [{
      label: comparison.arms.map(({ label }) => label).join(", "),
      ...{ estimate: NaN, lower: NaN, upper: NaN },
      counts: [`No number: ${found?.why || why}`],
    }];
    return [{ label: comparison.label, rows }];
  });
}

function rowsOf(
  { arms, contrasts }: ArmEndpoint,
  sizeOf: (arms: readonly string[]) => string,
): ForestRow[] {
  const of = (id: string) => arms.find((arm) => arm.id === id)!;
  return contrasts.map(({ first, second, difference, together }): ForestRow => {
    const [one, other] = [of(first), of(second)];
    const alone = `This pair alone: ${text(difference.lower)} to ${text(difference.upper)}`;
    return {
      label: `${one.label} minus ${other.label}`,
      estimate: difference.estimate,
      lower: together.lower,
      upper: together.upper,
      risks: [shareText(one), shareText(other)],
      counts: [sizeOf([first, second]), ...(contrasts.length > 1 ? [alone] : [])],
    };
  });
}

const text = (share: number) => formatChange(per100(share), { digits: 1 });

/** How the lines of a forest of techniques and those under its rows are to be read. */
export const armsForestWords: string =
  "Limits hold for all pairs of a comparison together. n: patients; effective: what those of " +
  "either arm are worth when weighted.";
