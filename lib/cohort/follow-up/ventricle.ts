import { DataError } from "../../numerics/mod.ts";
import { thresholdHolds } from "../analysis/mod.ts";
import { daysPerYear, optionalNumbers } from "./course.ts";
import { type Analysis, type Arm, hasColumn, numericColumn } from "../model/mod.ts";

/** How many of the plan's warning marks a patient had before the operation. */
export type MarkCount = "none" | "one" | "both";

/** The ventricle before and after, patient by patient. */
export interface VentricleAfter {
  /** Patients with an ejection fraction before and, in the window, after: rows of the analysis. */
  rows: Int32Array;
  /** 1 repair, 0 replacement, one a row. */
  treated: Uint8Array;
  /** Ejection fraction before, percent. */
  before: Float64Array;
  /** Ejection fraction at that echo, percent. */
  after: Float64Array;
  /** End-systolic diameter at that echo, mm; NaN where it was not measured. */
  lvesdAfter: Float64Array;
  /** Years from operation to the echo that was taken. */
  time: Float64Array;
  /** Alive and with the same valve at the end of the window's first half, yet without an echo. */
  notMeasured: Record<Arm, number>;
  /** Their rows of the analysis. */
  notMeasuredRows: Int32Array;
  /** Mean before, after and change (after minus before), by group. */
  arms: { arm: Arm; n: number; before: number; after: number; change: number }[];
  /** Ejection fraction below 50% afterwards, by group and number of warning marks. */
  marks: { arm: Arm; marks: MarkCount; n: number; low: number }[];
  /** Patients in `rows` whose marks could not be told, a measurement being missing. */
  marksUnknown: number;
}

/** Below this the ventricle is said to be impaired after operation (ACC/AHA 2020). */
const impaired = 50;

/**
 * Ejection fraction about a year after operation against before, and how often it is below 50% by
 * the number of warning marks present before.
 *
 * Takes the echo nearest to `at` within `window`, the earlier of two equally near, and none after a
 * reintervention. Only survivors with an echo can be described: how many had none is counted.
 *
 * @param options.at Years from operation (default 1).
 * @param options.window Years, both included (default half a year to a year and a half).
 */
export function ventricleAfter(
  analysis: Analysis,
  options: { at?: number; window?: readonly [number, number] } = {},
): VentricleAfter {
  const { at = 1, window: [open, close] = [0.5, 1.5] } = options;
  if (!(open >= 0 && open <= at && at <= close && close < Infinity)) {
    throw new DataError("window", `two ascending times about ${at}`, [open, close]);
  }
  const before = numericColumn(analysis, "lvef");
  const end = numericColumn(analysis, "fu_days");
  const again = optionalNumbers(analysis, "reint_day");
  const visits = analysis.visits;
  const values = hasColumn(visits, "lvef") ? numericColumn(visits, "lvef") : new Float64Array(0);
  const diameters = hasColumn(visits, "lvesd") ? numericColumn(visits, "lvesd") : undefined;
  const rows: number[] = [];
  const after: number[] = [];
  const lvesdAfter: number[] = [];
  const time: number[] = [];
  const notMeasured = { repair: 0, replacement: 0 };
  const without: number[] = [];
  for (let i = 0; i < analysis.n; i++) {
    const last = Math.min(end[i]!, Number.isNaN(again[i]) ? Infinity : again[i]!);
    let best = -1;
    for (let k = visits.offsets[i]!; k < visits.offsets[i + 1]!; k++) {
      const years = visits.day[k]! / daysPerYear;
      if (years < open || years > close || visits.day[k]! > last || !(values[k]! >= 0)) continue;
      if (best < 0 || Math.abs(years - at) < Math.abs(visits.day[best]! / daysPerYear - at)) {
        best = k;
      }
    }
    if (best >= 0 && !Number.isNaN(before[i])) {
      rows.push(i);
      after.push(values[best]!);
      lvesdAfter.push(diameters?.[best] ?? NaN);
      time.push(visits.day[best]! / daysPerYear);
    } else if (last / daysPerYear >= at) {
      notMeasured[analysis.treated[i] ? "repair" : "replacement"]++;
      without.push(i);
    }
  }
  const result = {
    rows: Int32Array.from(rows),
    treated: Uint8Array.from(rows, (row) => analysis.treated[row]!),
    before: Float64Array.from(rows, (row) => before[row]!),
    after: Float64Array.from(after),
    lvesdAfter: Float64Array.from(lvesdAfter),
    time: Float64Array.from(time),
  };
  const notMeasuredRows = Int32Array.from(without);
  return {
    ...result,
    notMeasured,
    notMeasuredRows,
    arms: armsOf(result),
    ...marksOf(analysis, result),
  };
}

type Measured = Pick<VentricleAfter, "rows" | "treated" | "before" | "after">;

function armsOf({ treated, before, after }: Measured): VentricleAfter["arms"] {
  return (["repair", "replacement"] as const).map((arm) => {
    const wanted = arm === "repair" ? 1 : 0;
    let n = 0;
    let first = 0;
    let second = 0;
    for (let i = 0; i < treated.length; i++) {
      if (treated[i] !== wanted) continue;
      n++;
      first += before[i]!;
      second += after[i]!;
    }
    return { arm, n, before: first / n, after: second / n, change: (second - first) / n };
  });
}

function marksOf(
  analysis: Analysis,
  { rows, treated, after }: Measured,
): Pick<VentricleAfter, "marks" | "marksUnknown"> {
  const marks: VentricleAfter["marks"] = [];
  for (const arm of ["repair", "replacement"] as const) {
    for (const count of ["none", "one", "both"] as const) {
      marks.push({ arm, marks: count, n: 0, low: 0 });
    }
  }
  const rules = analysis.study.thresholds.filter(({ purpose }) => purpose === "warning-mark")
    .slice(0, 2);
  if (rules.length < 2) return { marks, marksUnknown: rows.length };
  const present = rules.map((rule) => thresholdHolds(analysis, rule));
  let marksUnknown = 0;
  rows.forEach((row, i) => {
    const count = present.reduce((sum, holds) => sum + holds[row]!, 0);
    const cell = marks[(treated[i] ? 0 : 3) + count];
    if (!cell) {
      marksUnknown++;
      return;
    }
    cell.n++;
    if (after[i]! < impaired) cell.low++;
  });
  return { marks, marksUnknown };
}
