import type { ArmEndpoint, ComparisonAnswer } from "../../comparisons/arms/mod.ts";
import type { ForestRow, ForestSection } from "../../figures/estimates/mod.ts";
import { formatChange, formatPercent, per100 } from "../../words/mod.ts";

/**
 * The sections of a forest of techniques for one outcome: one a comparison, one row a pair of arms,
 * drawn with the limits that hold for all pairs together. A comparison without a number says why.
 */
export function techniqueSections(
  compared: readonly ComparisonAnswer[],
  endpoint: string,
): ForestSection[] {
  return compared.flatMap(({ comparison, answers, why }): ForestSection[] => {
    const found = answers?.endpoints.find((one) => one.endpoint === endpoint);
    if (answers && !found) return [];
    const rows = found && found.contrasts.length > 0 ? rowsOf(found) : [{
      label: comparison.arms.map(({ label }) => label).join(", "),
      ...{ estimate: NaN, lower: NaN, upper: NaN },
      counts: [`No number: ${found?.why || why}`],
    }];
    return [{ label: comparison.label, rows }];
  });
}

function rowsOf({ arms, contrasts }: ArmEndpoint): ForestRow[] {
  const of = (id: string) => arms.find((arm) => arm.id === id)!;
  return contrasts.map(({ first, second, difference, together }): ForestRow => {
    const [one, other] = [of(first), of(second)];
    const alone = `This pair alone: ${text(difference.lower)} to ${text(difference.upper)}`;
    return {
      label: `${one.label} minus ${other.label}`,
      estimate: difference.estimate,
      lower: together.lower,
      upper: together.upper,
      risks: [formatPercent(one.estimate), formatPercent(other.estimate)],
      ...(contrasts.length > 1 && { counts: [alone] }),
    };
  });
}

const text = (share: number) => formatChange(per100(share), { digits: 1 });
