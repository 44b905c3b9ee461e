import { type Analysis, hasColumn, numericColumn, textColumn } from "../../cohort/model/mod.ts";
import { dictionary, type DictionaryColumn } from "../../cohort/dictionary/mod.ts";
import { countText } from "../../words/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { describedColumn, type StudyCovariate } from "../score/mod.ts";
import type { CharacteristicsTable } from "./characteristics.ts";
import { describe, nothing, publishableColumn, sizeText } from "./describe.ts";

/** A line whose column the file has, or the heading of one it does not have. */
type Line = { covariate: StudyCovariate } | { absent: string };

const notInTheFile = "not in the file";

/**
 * What was done at the operation, by group: approach, ring, further steps, prosthesis, chords
 * spared, grafts, ablation, tricuspid procedure, times, and why the operation was
 * another than intended.
 *
 * Numbers, counts and what is withheld are as in {@link characteristics}. Of a list of steps each
 * has a line. A column the file does not have has a line that says so.
 *
 * @example
 * ```ts
 * import { openAnalysis, whatWasDone } from "mitral";
 *
 * const { analysis, study } = await openAnalysis();
 * whatWasDone(analysis, study).rows[0]?.characteristic; // "Approach"
 * ```
 */
export function whatWasDone(analysis: Analysis, study: Study): CharacteristicsTable {
  // what the groups are made of is told beside them
  const lines = dictionary.patients.filter(({ stage, name }) =>
    stage === "operative" && name !== "intended"
  ).flatMap((entry) => linesOf(analysis, entry));
  return asTable(analysis, study, lines);
}

/**
 * The first month, by group: death, leak and gradient on leaving theatre, stroke, reopening for
 * bleeding, new dialysis, and length of stay. As the groups were, adjusted for nothing.
 *
 * See {@link whatWasDone} for its form.
 */
export function earlyResults(analysis: Analysis, study: Study): CharacteristicsTable {
  const dead = numericColumn(analysis, "dead");
  const days = numericColumn(analysis, "fu_days");
  const early = Float64Array.from(dead, (one, i) => one === 1 && days[i]! <= 30 ? 1 : 0);
  const ofOperation = dictionary.patients.filter(({ name }) => earlyColumns.includes(name));
  return asTable(analysis, study, [
    { covariate: yesOrNo("death-30", "Death within 30 days", early) },
    ...ofOperation.flatMap((entry) => linesOf(analysis, entry)),
  ]);
}

const earlyColumns = ["mr_exit", "grad_exit", "stroke_30", "bleed_reop", "new_dialysis", "los"];

function linesOf(analysis: Analysis, entry: DictionaryColumn): Line[] {
  if (!hasColumn(analysis, entry.name)) {
    return [{ absent: `${entry.label}${entry.unit ? `, ${entry.unit}` : ""}` }];
  }
  if (entry.type === "set") {
    const steps = textColumn(analysis, entry.name).map((text) => text.split(";"));
    return (entry.categories ?? []).map(({ code, label }) => ({
      covariate: yesOrNo(
        `${entry.name}-${code}`,
        `${entry.label}: ${label}`,
        Float64Array.from(steps, (list) => list.includes(code) ? 1 : 0),
      ),
    }));
  }
  const covariate = describedColumn(analysis, entry.name);
  return entry.type === "ordinal" ? [{ covariate: byGrade(covariate) }] : [{ covariate }];
}

/** Grades told one by one, as a surgeon counts them. */
function byGrade(covariate: StudyCovariate): StudyCovariate {
  const grades = [...new Set(covariate.values.filter((_, i) => covariate.present[i]))].sort();
  const place = new Map(grades.map((grade, i) => [grade, i]));
  return {
    ...covariate,
    kind: "category",
    levels: grades.map((grade) => ({ code: String(grade), label: `grade ${grade}` })),
    values: covariate.values.map((grade) => place.get(grade) ?? 0),
  };
}

function yesOrNo(column: string, label: string, values: Float64Array): StudyCovariate {
  const everyone = new Uint8Array(values.length).fill(1);
  return {
    column,
    label,
    unit: null,
    kind: "binary",
    form: "mean",
    applies: everyone,
    present: everyone,
    values,
    levels: [],
    condition: null,
    dependsOn: null,
  };
}

function asTable(
  { treated, groups, n }: Analysis,
  { smallestCell }: Study,
  lines: readonly Line[],
): CharacteristicsTable {
  const arms = (["repair", "replacement"] as const).map((arm) => ({
    arm,
    label: `${groups.labels[arm]} ${sizeText(groups.counts[arm])}`,
    weight: Float64Array.from(treated, (code) => code === (arm === "repair" ? 1 : 0) ? 1 : 0),
  }));
  let withheld = false;
  const row = (characteristic: string, [repair, replacement]: readonly string[]) => (
    { characteristic, repair: repair ?? "", replacement: replacement ?? "" }
  );
  const rows = lines.flatMap((line) => {
    if ("absent" in line) return [row(line.absent, [notInTheFile, notInTheFile])];
    const { covariate } = line;
    const described = arms.map(({ weight }) => {
      const levels = publishableColumn(covariate, { whole: weight, outside: true }, smallestCell);
      const sample = { weight, weighted: false, part: "whole" as const };
      return describe(covariate, sample, { levels, smallest: smallestCell });
    });
    withheld ||= described.some((one) => one.withheld);
    const { label, unit, condition } = covariate;
    const heading = `${label}${unit ? `, ${unit}` : ""}${condition ? ` (if ${condition})` : ""}`;
    if (!covariate.present.some((has) => has === 1)) {
      const why = covariate.applies.some((one) => one === 1) ? notInTheFile : nothing;
      return [row(heading, [why, why])];
    }
    const missing = described.map((one) => one.missing);
    return [
      row(heading, described.map(({ main }) => main)),
      ...covariate.levels.flatMap(({ label }, level) => {
        const texts = described.map(({ levels }) => levels[level]!);
        const nobody = texts.every((text) => text.startsWith("0 ("));
        return nobody ? [] : [row(`\u2003${label}`, texts)];
      }),
      ...(missing.some((text) => text !== "" && text !== "0")
        ? [row("\u2003missing", missing)]
        : []),
    ];
  });
  return {
    columns: [
      { key: "characteristic", label: `Of ${countText(n)} patients` },
      ...arms.map(({ arm, label }) => ({ key: arm, label, align: "right" as const })),
    ],
    rows,
    notes: [
      "Number (percent of those it applies to, with a value), mean (SD), or median [quartiles] where " +
      "numbers are skewed.",
      ...(withheld
        ? [
          `Numbers from 1 to ${
            smallestCell - 1
          } are not shown (${nothing}), nor others that would ` +
          "give them away.",
        ]
        : []),
    ],
  };
}
