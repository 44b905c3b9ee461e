import { levelText } from "../../words/mod.ts";
import type { ArmEndpoint, ArmPairContrast, ComparisonAnswer } from "../../comparisons/arms/mod.ts";
import { publishedPer100 } from "../../disclosure/mod.ts";
import { type DisplayTable, table, type TableHeading, type TableRow } from "../show/mod.ts";

const nothing = {
  first: null,
  second: null,
  difference: null,
  lower: null,
  upper: null,
  togetherLower: null,
  togetherUpper: null,
  p: null,
};

/**
 * Every pair of arms of every comparison, for every outcome: both arms, the difference, its limits
 * alone and together with the other pairs of the comparison.
 *
 * @param options.years The horizon.
 */
export function techniqueTable(
  heading: TableHeading,
  compared: readonly ComparisonAnswer[],
  { years, confidence = 0.95 }: { years: number; confidence?: number },
): DisplayTable {
  const rowOf = (
    { comparison }: ComparisonAnswer,
    { endpoint, label, arms }: ArmEndpoint,
    pair: ArmPairContrast,
  ) => {
    const of = (id: string) => arms.find((arm) => arm.id === id)!;
    const { difference, together } = pair;
    return {
      comparison: comparison.label,
      outcome: endpoint === "death" ? `Alive at ${years} years` : label,
      pair: `${of(pair.first).label} minus ${of(pair.second).label}`,
      first: publishedPer100(of(pair.first).estimate),
      second: publishedPer100(of(pair.second).estimate),
      difference: publishedPer100(difference.estimate),
      lower: publishedPer100(difference.lower),
      upper: publishedPer100(difference.upper),
      togetherLower: publishedPer100(together.lower),
      togetherUpper: publishedPer100(together.upper),
      p: difference.pValue,
      why: "",
    };
  };
  const level = levelText(confidence);
  return table({
    ...heading,
    columns: [
      { key: "comparison", label: "Comparison", kind: "text" },
      { key: "outcome", label: "Outcome", kind: "text" },
      { key: "pair", label: "Arms", kind: "text" },
      { key: "first", label: "First", unit: "per 100", kind: "number", digits: 1 },
      { key: "second", label: "Second", unit: "per 100", kind: "number", digits: 1 },
      { key: "difference", label: "Difference", unit: "per 100", kind: "number", digits: 1 },
      { key: "lower", label: `${level} from`, kind: "number", digits: 1 },
      { key: "upper", label: "to", kind: "number", digits: 1 },
      {
        key: "togetherLower",
        label: `All pairs together, ${level} from`,
        kind: "number",
        digits: 1,
      },
      { key: "togetherUpper", label: "to", kind: "number", digits: 1 },
      { key: "p", label: "p", kind: "pvalue" },
      { key: "why", label: "Why no number", kind: "text" },
    ],
    rows: compared.flatMap((one): TableRow[] => {
      const { comparison, answers } = one;
      const silent = (outcome: string, why: string) => ({
        ...nothing,
        comparison: comparison.label,
        outcome,
        pair: "",
        why,
      });
      if (!answers) return [silent("", one.why)];
      // one reason for all outcomes needs one line
      if (answers.design.shortOf.length > 0) {
        return [silent("every outcome", answers.design.shortOf.join("; "))];
      }
      return answers.endpoints.flatMap((endpoint): TableRow[] =>
        endpoint.contrasts.length > 0
          ? endpoint.contrasts.map((pair) => rowOf(one, endpoint, pair))
          : [silent(endpoint.label, endpoint.why)]
      );
    }),
  });
}
