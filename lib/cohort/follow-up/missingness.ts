import { publishableShare } from "../../disclosure/mod.ts";
import { formatNumber, formatPercent } from "../../words/mod.ts";
import { raised } from "../../numerics/mod.ts";
import { appliesTo } from "../analysis/mod.ts";
import { type DictionaryColumn, tableColumns } from "../dictionary/mod.ts";
import { echoSchedule, type EchoScheduleRow, followUpCompleteness } from "./completeness.ts";
import { type Analysis, hasColumn } from "../model/mod.ts";

/** Missing values of one column, among the patients it applies to, by group. */
export interface MissingnessRow {
  /** Name of the column. */
  column: string;
  /** Name as readers see it. */
  label: string;
  /** When the column becomes known. */
  stage: DictionaryColumn["stage"];
  /** Patients of the repair group to whom it applies, and those without a value. */
  repair: { applies: number; missing: number };
  /** The same of the replacement group. */
  replacement: { applies: number; missing: number };
}

/**
 * Missing values by column and group, in the dictionary's order, for every column the file has.
 *
 * A blank where the column does not apply (tethering in degenerative regurgitation) is not missing.
 */
export function missingness(analysis: Analysis): MissingnessRow[] {
  const rows: MissingnessRow[] = [];
  for (const { name, label, stage, type } of tableColumns("patients", analysis.study.columns)) {
    const values = hasColumn(analysis, name) ? analysis.columns[name] : undefined;
    // in a set, blank means none of them
    if (!values || type === "set") continue;
    const applies = appliesTo(analysis, name);
    const row: MissingnessRow = {
      column: name,
      label,
      stage,
      repair: { applies: 0, missing: 0 },
      replacement: { applies: 0, missing: 0 },
    };
    for (let i = 0; i < analysis.n; i++) {
      if (!applies[i]) continue;
      const arm = row[analysis.treated[i] ? "repair" : "replacement"];
      arm.applies++;
      if (values[i] === "" || Number.isNaN(values[i])) arm.missing++;
    }
    rows.push(row);
  }
  return rows;
}

// Differences from which a reader is warned. Common practice, no source.
const completenessGap = 0.05;
const visitRateRatio = 1.25;
const missingGap = 0.1;

/**
 * Sentences for what differs between the groups in ways that bias a comparison: completeness of
 * follow-up by more than 5 in 100, the rate of echo visits by more than a quarter, a column's
 * missing values by more than 10 in 100. Empty if none does.
 */
export function armWarnings(analysis: Analysis): string[] {
  const warnings: string[] = [];
  const { phrases } = analysis.groups;
  const [repair, replacement] = followUpCompleteness(analysis).map((row) => row.completeness);
  if (Math.abs((repair ?? NaN) - (replacement ?? NaN)) > completenessGap) {
    warnings.push(
      `Follow-up is ${percent(repair)} complete after ${phrases.repair} and ${
        percent(replacement)
      } after ${phrases.replacement}.`,
    );
  }
  const rates = echoSchedule(analysis).map((row: EchoScheduleRow) => row.per100PatientYears);
  if (Math.max(...rates) > visitRateRatio * Math.min(...rates)) {
    warnings.push(
      `Echo visits are made ${
        whole(rates[0])
      } times in 100 patient-years after ${phrases.repair} ` +
        `and ${whole(rates[1])} times after ${phrases.replacement}.`,
    );
  }
  for (const row of missingness(analysis)) {
    const [a, b] = [row.repair, row.replacement].map(({ applies, missing }) => missing / applies);
    if (Math.abs((a ?? NaN) - (b ?? NaN)) > missingGap) {
      warnings.push(
        `${row.label} is missing in ${shareInWords(row.repair, analysis)} with ` +
          `${phrases.repair} and in ${shareInWords(row.replacement, analysis)} with ` +
          `${phrases.replacement}.`,
      );
    }
  }
  return raised(warnings);
}

/** "11% of patients", or "few patients" where the share of so many would tell how few. */
function shareInWords(
  { missing, applies }: { missing: number; applies: number },
  { study: { smallestCell } }: Pick<Analysis, "study">,
): string {
  const share = publishableShare(missing, applies, smallestCell);
  if (share !== null) return `${percent(share)} of patients`;
  return 2 * missing < applies ? "few patients" : "nearly all patients";
}

function percent(value: number | undefined): string {
  return value === undefined || Number.isNaN(value)
    ? "an unknown share"
    : formatPercent(value, { digits: 0 });
}

function whole(value: number | undefined): string {
  return formatNumber(value ?? NaN, { digits: 0 });
}
