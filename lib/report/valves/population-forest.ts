import type { Analysis } from "../../cohort/model/mod.ts";
import type { PopulationAnswers } from "../../comparisons/populations/mod.ts";
import { formatChange, formatTest, per100 } from "../../words/mod.ts";
import type { ForestRow, ForestSection } from "../../figures/estimates/mod.ts";
import { contrastRow } from "../results/mod.ts";
import { populationSizes } from "./population-sizes.ts";
import { sizeInWords } from "./shown-effective.ts";

/**
 * The sections of a forest by population, for one endpoint: populations that share no patient with
 * the test between them, then each that overlaps those with its test against everybody else. Under
 * each difference stands the one drawn towards the others.
 *
 * A population without a number has a row that says why. Each row says how many patients it is of.
 */
export function populationSections(
  { populations, heterogeneity }: PopulationAnswers,
  endpoint: string,
  analysis: Analysis,
): { overall?: ForestRow; sections: ForestSection[] } {
  const found = heterogeneity.find((one) => one.endpoint === endpoint);
  if (!found) return { sections: [] };
  const { together, against } = found;
  const { smallestCell } = analysis.study;
  const sizes = populationSizes(analysis, populations.map(({ population }) => population));
  const rowOf = (id: string, drawn?: { estimate: number; lower: number; upper: number }) => {
    const answer = populations.find(({ population }) => population.id === id)!;
    const { main, why } = answer.endpoints.find((one) => one.endpoint === endpoint)!;
    const { population: { label }, design: { sample } } = answer;
    const size = [sizes[populations.indexOf(answer)]!];
    if (!main) {
      const counts = [sizeInWords(size, { effective: [], smallestCell }), `Too few: ${why}`];
      return { label, estimate: NaN, lower: NaN, upper: NaN, counts };
    }
    const row = contrastRow(label, main);
    const effective = [sample?.repair.effective, sample?.replacement.effective];
    const counts = [...row.counts ?? [], sizeInWords(size, { effective, smallestCell })];
    if (drawn) counts.push(`Drawn towards the others: ${limitsText(drawn)}`);
    return { ...row, counts };
  };
  const others = new Set(against.map(({ id }) => id));
  const whole = populations.filter(({ population: { id }, design }) =>
    !others.has(id) && !together.ids.includes(id) && design.analysis.n > 0
  ).map(({ population }) => population.id);
  const [everyone, ...silent] = whole;
  const sections: ForestSection[] = [];
  if (together.ids.length > 0) {
    sections.push({
      label: "Populations that share no patient",
      ...(together.test
        ? {
          interaction: `${
            formatTest({ ...together.test, tooFew: false })
          } for a difference between them`,
        }
        : {}),
      rows: together.ids.map((id, k) => rowOf(id, together.shrunken[k])),
    });
  }
  for (const { id, interaction, shrunken } of against) {
    const row = rowOf(id, shrunken ?? undefined);
    sections.push({
      label: row.label,
      interaction: interaction
        ? `Difference from everybody else: ${limitsText(interaction)}, ` +
          formatTest({ pValue: interaction.pValue, tooFew: false })
        : "Not tested against everybody else: too few on one side.",
      rows: [row],
    });
  }
  if (silent.length > 0) {
    sections.push({ label: "Too few for a number", rows: silent.map((id) => rowOf(id)) });
  }
  return { ...(everyone ? { overall: rowOf(everyone) } : {}), sections };
}

function limitsText({ estimate, lower, upper }: {
  estimate: number;
  lower: number;
  upper: number;
}): string {
  const text = (value: number) => formatChange(per100(value), { digits: 1 });
  return `${text(estimate)} (${text(lower)} to ${text(upper)})`;
}
