import {
  type Analysis,
  type Cohort,
  hasColumn,
  numericColumn,
  textColumn,
} from "../../cohort/model/mod.ts";
import { experienceOf } from "../learning/mod.ts";
import { type SurgeonLabels, surgeonLabels } from "./surgeon-labels.ts";

/** The eligible operations as the programme's own quality is looked at, one value a patient. */
export interface ProgrammeOperations {
  /** Operations that the programme is judged by. */
  analysis: Analysis;
  /** Operations. */
  n: number;
  /** Patients in the order of their operations. */
  order: Int32Array;
  /** Surgeon's code in the file, "" where it is not recorded; never shown. */
  code: string[];
  /** Letters in place of surgeons. */
  surgeons: SurgeonLabels;
  /** Calendar year of the operation. */
  year: Float64Array;
  /** Operations the surgeon had done before, eligible or not; NaN where that is not known. */
  experience: Float64Array;
  /**
   * Operations of the surgeon in that year, eligible or not; NaN where the surgeon is not recorded.
   */
  volume: Float64Array;
  /** Band of that volume, such as "15 or more a year"; "" where it is not known. */
  band: string[];
  /**
   * 1 where a repair was set out to, where the patient left with one, and where the two differ so.
   */
  attempted: Uint8Array;
  /** 1 where the operation ended as a repair. */
  repaired: Uint8Array;
  /** 1 where a repair was begun and a replacement done. */
  converted: Uint8Array;
}

/**
 * The operations of an analysis with what the programme is judged by.
 *
 * Experience and volume count every operation of the file, eligible or not. Surgeons who operate
 * from the file's first year on have an unknown past, and no experience, unless the plan says how
 * many operations they had done before.
 *
 * @throws {DataError} where the file lacks the year or the procedures, which every file must have.
 */
export function programmeOperations(analysis: Analysis, cohort: Cohort): ProgrammeOperations {
  const { programme } = analysis.study;
  const { n, rows } = analysis;
  const codes = hasColumn(cohort, "surgeon")
    ? textColumn(cohort, "surgeon")
    : Array<string>(cohort.n).fill("");
  const years = numericColumn(cohort, "op_year");
  const inOrder = operatingOrder(cohort, years);
  const experience = experienceInFile(codes, years, inOrder, programme.doneBefore);
  const yearly = Map.groupBy(codes.keys(), (row) => `${codes[row]} ${years[row]}`);
  const volumeOf = (row: number) =>
    codes[row] === "" ? NaN : yearly.get(`${codes[row]} ${years[row]}`)!.length;
  const code = Array.from(rows, (row) => codes[row]!);
  const volume = Float64Array.from(rows, volumeOf);
  const place = new Int32Array(cohort.n);
  inOrder.forEach((row, k) => place[row] = k);
  const is = (column: string) =>
    Uint8Array.from(textColumn(analysis, column), (value) => value === "repair" ? 1 : 0);
  const attempted = is("intended");
  const repaired = is("final");
  return {
    analysis,
    n,
    order: Int32Array.from({ length: n }, (_, i) => i)
      .sort((a, b) => place[rows[a]!]! - place[rows[b]!]!),
    code,
    surgeons: surgeonLabels(code, { smallestVolume: programme.smallestVolume.operations }),
    year: Float64Array.from(rows, (row) => years[row]!),
    experience: Float64Array.from(rows, (row) => experience[row]!),
    volume,
    band: Array.from(volume, (count) => bandOf(count, programme.volumeBands.from)),
    attempted,
    repaired,
    converted: attempted.map((value, i) => value === 1 && repaired[i] === 0 ? 1 : 0),
  };
}

/** Rows in the order of operation: by case number where there is one, else by year and line. */
function operatingOrder(cohort: Cohort, years: Float64Array): Int32Array {
  const sequence = hasColumn(cohort, "case_seq") ? numericColumn(cohort, "case_seq") : undefined;
  const key = sequence && !sequence.some(Number.isNaN) ? sequence : years;
  return Int32Array.from({ length: cohort.n }, (_, row) => row)
    .sort((a, b) => key[a]! - key[b]! || a - b);
}

function experienceInFile(
  codes: string[],
  years: Float64Array,
  inOrder: Int32Array,
  before: Record<string, number>,
): Float64Array {
  const firstYear = years.reduce((least, year) => Math.min(least, year), Infinity);
  const unknown = new Set(
    [...inOrder].filter((row) => years[row] === firstYear).map((row) => codes[row]!)
      .filter((code) => !(code in before)),
  );
  const counted = experienceOf(Array.from(inOrder, (row) => codes[row]!), before);
  const experience = new Float64Array(codes.length).fill(NaN);
  inOrder.forEach((row, k) => {
    const code = codes[row]!;
    if (code !== "" && !unknown.has(code)) experience[row] = counted[k]!;
  });
  return experience;
}

/** The band of volume that a yearly number falls into. */
export function bandOf(count: number, from: readonly number[]): string {
  if (Number.isNaN(count)) return "";
  const k = from.filter((least) => count >= least).length;
  if (k === 0) return `fewer than ${from[0]} a year`;
  const [least, next] = [from[k - 1]!, from[k]];
  if (next === undefined) return `${least} or more a year`;
  return next - 1 > least ? `${least} to ${next - 1} a year` : `${least} a year`;
}
