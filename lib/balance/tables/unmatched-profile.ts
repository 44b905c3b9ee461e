import type { Analysis } from "../../cohort/model/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { type CharacteristicsTable, headingOf } from "./characteristics.ts";
import { describe, publishableColumn, sizeText } from "./describe.ts";
import type { MatchedSample } from "../samples/mod.ts";
import { studyCovariate } from "../score/mod.ts";

/**
 * Who could not be matched and how they differ: the study's adjustment covariates in matched and
 * unmatched patients of each group, described as in {@link characteristics}.
 *
 * @throws {DataError}
 */
export function unmatchedProfile(
  analysis: Analysis,
  study: Study,
  matched: MatchedSample,
): CharacteristicsTable {
  const { labels } = analysis.groups;
  const parts = ([["repair", 1], ["replacement", 0]] as const).flatMap(([group, code]) =>
    ([["matched", true], ["unmatched", false]] as const).map(([name, inside]) => {
      const weight = Float64Array.from(
        matched.weight,
        (w, i) => analysis.treated[i] === code && (w > 0) === inside ? 1 : 0,
      );
      const count = weight.reduce((sum, w) => sum + w, 0);
      return {
        key: `${group}.${name}`,
        label: `${labels[group]}, ${name} ${sizeText(count)}`,
        code,
        sample: { weight, part: name, weighted: false },
      };
    })
  );
  const smallest = study.smallestCell;
  const rows: Record<string, string>[] = [];
  for (const { column } of study.adjustment.covariates) {
    const covariate = studyCovariate(analysis, column);
    const described = parts.map(({ sample, code }) => {
      const whole = Float64Array.from(analysis.treated, (group) => group === code ? 1 : 0);
      const inGroup = matched.weight.map((w, i) => whole[i]! * w);
      const levels = publishableColumn(covariate, { whole, matched: inGroup }, smallest);
      return describe(covariate, sample, { levels, smallest });
    });
    const row = (characteristic: string, texts: string[]) =>
      rows.push({
        characteristic,
        ...Object.fromEntries(parts.map(({ key }, k) => [key, texts[k]!])),
      });
    row(headingOf(covariate), described.map(({ main }) => main));
    covariate.levels.forEach(({ label }, level) => {
      const texts = described.map(({ levels }) => levels[level]!);
      if (!texts.every((text) => text.startsWith("0 ("))) row(`\u2003${label}`, texts);
    });
  }
  return {
    columns: [
      { key: "characteristic", label: "Characteristic" },
      ...parts.map(({ key, label }) => ({ key, label, align: "right" as const })),
    ],
    rows,
    notes: [
      "Mean (SD), median [quartiles] for grades and skewed numbers, or number (percent of those " +
      `with a value). Numbers from 1 to ${smallest - 1} are not shown (–), nor others that would ` +
      "give them away.",
    ],
  };
}
