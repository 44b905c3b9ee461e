import { formatNumber } from "../../words/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { balanceOf } from "./balance-table.ts";
import type { AdjustedWeights } from "./covariate-balance.ts";
import { describe, type Described, nothing, publishableColumn, sizeText } from "./describe.ts";
import { type StudyCovariate, studyCovariate } from "../score/mod.ts";

/** A table as data: columns, and rows of text. Hand it to `table()` with an id and a title. */
export interface CharacteristicsTable {
  /** Columns, in order. */
  columns: { key: string; label: string; align?: "left" | "right" }[];
  /** Cells as printed, by column. */
  rows: Record<string, string>[];
  /** What a reader must know beside the numbers, in sentences. */
  notes: string[];
}

interface Sample extends Described {
  key: string;
  /** Added to the group's name in the heading. */
  name: string;
}

/**
 * Characteristics of the two groups before and, where given, after matching and weighting, with
 * standardised differences.
 *
 * Numbers are mean (SD); grades, and numbers whose skewness in the whole sample is beyond 1 either
 * way, median [quartiles]; everything else counts (whole percent of those with a value), in a
 * weighted sample percent alone. A column that applies to some is of those only. Missing values are
 * counted where there are any. Standardised differences always have the denominator of the sample
 * before. Counts from 1 to one less than the study's smallest cell are not shown, nor whatever
 * would give them away in the same group, with those matched and not matched; the standardised
 * difference is then given to one decimal, or not where that would tell. There are no p values:
 * balance is not tested.
 *
 * @param options.columns Columns to describe, all known before the operation; default: the study's
 * adjustment covariates.
 * @throws {DataError}
 */
export function characteristics(
  analysis: Analysis,
  study: Study,
  options: AdjustedWeights & { columns?: readonly string[] } = {},
): CharacteristicsTable {
  const names = options.columns ?? study.adjustment.covariates.map(({ column }) => column);
  const smallest = study.smallestCell;
  const everyone = new Float64Array(analysis.n).fill(1);
  const ofGroup = (weight: Float64Array, code: number) =>
    weight.map((w, i) => analysis.treated[i] === code ? w : 0);
  const samples: Sample[] = [
    { key: "before", name: "", weight: everyone, weighted: false, part: "whole" },
  ];
  if (options.matched) {
    const { weight } = options.matched;
    const weighted = weight.some((w) => w !== 0 && w !== 1);
    samples.push({ key: "afterMatching", name: ", matched", weight, weighted, part: "matched" });
  }
  if (options.weighted) {
    const { weight } = options.weighted;
    samples.push({
      key: "afterWeighting",
      name: ", weighted",
      weight,
      weighted: true,
      part: "whole",
    });
  }
  const groups = [
    { key: "repair", label: analysis.groups.labels.repair, code: 1 },
    { key: "replacement", label: analysis.groups.labels.replacement, code: 0 },
  ];
  const parts = samples.flatMap((sample) =>
    groups.map((group) => ({
      key: `${sample.key}.${group.key}`,
      label: `${group.label}${sample.name}${sizeOf(analysis, sample, group.code)}`,
      code: group.code,
      sample: {
        weighted: sample.weighted,
        weight: ofGroup(sample.weight, group.code),
        part: sample.part,
      },
    }))
  );
  const rows: Record<string, string>[] = [];
  let withheld = false;
  for (const name of names) {
    const covariate = studyCovariate(analysis, name);
    const levels = new Map(groups.map(({ code }) => [
      code,
      publishableColumn(covariate, {
        whole: ofGroup(everyone, code),
        ...(options.matched ? { matched: ofGroup(options.matched.weight, code) } : {}),
      }, smallest),
    ]));
    const described = parts.map(({ sample, code }) =>
      describe(covariate, sample, { levels: levels.get(code)!, smallest })
    );
    withheld ||= described.some((description) => description.withheld);
    const balance = balanceOf(analysis, covariate, options);
    const differences = Object.fromEntries(samples.map(({ key }) => [
      `${key}.difference`,
      differenceText(balance[key as keyof AdjustedBalance], balance.coarse),
    ]));
    const row = (characteristic: string, texts: string[], also: Record<string, string>) => {
      const blank = Object.fromEntries(samples.map(({ key }) => [`${key}.difference`, ""]));
      const cells = Object.fromEntries(parts.map(({ key }, k) => [key, texts[k]!]));
      rows.push({ characteristic, ...blank, ...cells, ...also });
    };
    row(headingOf(covariate), described.map(({ main }) => main), differences);
    covariate.levels.forEach(({ label }, level) => {
      const texts = described.map(({ levels }) => levels[level]!);
      if (texts.every(isNobody)) return;
      row(`\u2003${label}`, texts, {});
    });
    const missing = described.map((description) => description.missing);
    if (missing.some((text) => text !== "" && text !== "0")) row("\u2003missing", missing, {});
  }
  return {
    columns: [
      { key: "characteristic", label: "Characteristic" },
      ...samples.flatMap((sample, s) => [
        ...parts.slice(2 * s, 2 * s + 2).map(({ key, label }) => ({
          key,
          label,
          align: "right" as const,
        })),
        {
          key: `${sample.key}.difference`,
          label: `Standardised difference${sample.name}`,
          align: "right" as const,
        },
      ]),
    ],
    rows,
    notes: [
      "Mean (SD), median [quartiles] for grades and skewed numbers, or number (percent of those " +
      "with a value). Standardised differences: repair minus replacement, in standard deviations " +
      "of the sample before matching or weighting; of a category one number without a sign.",
      ...(withheld
        ? [
          `Numbers from 1 to ${
            smallest - 1
          } are not shown (–), nor others that would give them away; ` +
          "standardised differences of such rows have one decimal, or none are shown (–).",
        ]
        : []),
    ],
  };
}

/** A covariate's name with its unit and, where it applies to some only, to whom. */
export function headingOf({ label, unit, condition }: StudyCovariate): string {
  return `${label}${unit ? `, ${unit}` : ""}${condition ? `; in ${condition}` : ""}`;
}

type AdjustedBalance = Pick<
  ReturnType<typeof balanceOf>,
  "before" | "afterMatching" | "afterWeighting"
>;

function sizeOf(analysis: Analysis, sample: Sample, code: number): string {
  if (sample.weighted) return "";
  let count = 0;
  sample.weight.forEach((w, i) => {
    if (w > 0 && analysis.treated[i] === code) count++;
  });
  return ` ${sizeText(count)}`;
}

function isNobody(text: string): boolean {
  return text === "0%" || text.startsWith("0 (");
}

function differenceText(value: number | null, coarse: boolean): string {
  return value === null ? nothing : formatNumber(value, { digits: coarse ? 1 : 2 });
}
