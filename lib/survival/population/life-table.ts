import { parse } from "csv-parse/sync";
import { DataError } from "../../numerics/mod.ts";

/** Yearly probabilities of death by sex, age and, where known, calendar year. */
export interface LifeTable {
  /** Labels of sex, as in the file. */
  sexes: string[];
  /** Whole ages, one after another; the last also stands for every older age. */
  ages: number[];
  /** Calendar years, ascending; each holds until the next. Empty where the table has none. */
  years: number[];
  /** Hazard a year, -log(1 - q): at ((sex * years + year) * ages + age). Infinite where q = 1. */
  hazard: Float64Array;
  /** What the file says of where it comes from. */
  source: string[];
}

const REQUIRED = ["sex", "age", "q"];
const ALLOWED = [...REQUIRED, "year", "source"];

/**
 * Reads a life table from CSV text: columns `sex`, `age` (whole years), `q` (probability of dying
 * within the year, 0 to 1) and, if wanted, `year` (calendar year) and `source`.
 *
 * Every sex must have every age from the first to the last, in every year listed. Lines that start
 * with # are comments. Anything else that is not expected stops the reading.
 *
 * @example
 * ```ts
 * import { readLifeTable } from "mitral";
 * readLifeTable("sex,age,q\nF,70,0.015\nF,71,0.017\nM,70,0.024\nM,71,0.027\n").ages; // [70, 71]
 * ```
 * @throws {DataError} naming the column and the row (0-based, after the header).
 */
export function readLifeTable(csvText: string): LifeTable {
  const rows = readRows(csvText);
  const sexes = [...new Set(rows.map((row) => row.sex!))].sort();
  const ages = wholeNumbers(rows, "age", 0, 150);
  const dated = rows[0]!.year !== undefined;
  const years = dated ? wholeNumbers(rows, "year", 1000, 3000) : [];
  const layers = Math.max(1, years.length);
  ages.forEach((age, i) => {
    if (age !== ages[0]! + i) throw new DataError("age", `to go on with ${ages[0]! + i}`, age);
  });
  const hazard = new Float64Array(sexes.length * layers * ages.length).fill(NaN);
  rows.forEach((row, index) => {
    const q = row.q!.trim() === "" ? NaN : Number(row.q);
    if (!(q >= 0 && q <= 1)) throw new DataError("q", "a probability in [0, 1]", row.q, index);
    const layer = dated ? years.indexOf(Number(row.year)) : 0;
    const place = (sexes.indexOf(row.sex!) * layers + layer) * ages.length +
      Number(row.age) - ages[0]!;
    if (!Number.isNaN(hazard[place]!)) {
      throw new DataError("age", "listed once for its sex and year", Number(row.age), index);
    }
    hazard[place] = q === 1 ? Infinity : -Math.log1p(-q);
  });
  const hole = hazard.findIndex(Number.isNaN);
  if (hole >= 0) {
    const sex = sexes[Math.floor(hole / (layers * ages.length))]!;
    const year = dated ? ` and year ${years[Math.floor(hole / ages.length) % layers]}` : "";
    const age = ages[hole % ages.length]!;
    throw new DataError("age", `listed for every sex and year: "${sex}"${year} lacks one`, age);
  }
  const source = [...new Set(rows.flatMap((row) => row.source ?? []))];
  return { sexes, ages, years, hazard, source };
}

function readRows(csvText: string): Record<string, string>[] {
  const records: string[][] = parse(csvText, { comment: "#", skip_empty_lines: true, bom: true });
  const [header, ...rest] = records;
  if (!header || rest.length === 0) throw new DataError("csvText", "a header and rows", "none");
  const names = header.map((name) => name.trim());
  for (const name of REQUIRED) {
    if (!names.includes(name)) {
      throw new DataError("csvText", `a table with column "${name}"`, "none");
    }
  }
  for (const name of names) {
    if (!ALLOWED.includes(name)) {
      throw new DataError("csvText", `a table of the columns ${ALLOWED.join(", ")}`, name);
    }
  }
  return rest.map((record) =>
    Object.fromEntries(names.map((name, column) => [name, record[column]!.trim()]))
  );
}

/** Distinct values of a column of whole numbers, ascending. */
function wholeNumbers(
  rows: Record<string, string>[],
  column: string,
  min: number,
  max: number,
): number[] {
  const values = rows.map((row, index) => {
    const value = row[column] === "" ? NaN : Number(row[column]);
    if (!Number.isInteger(value) || value < min || value > max) {
      throw new DataError(column, `a whole number from ${min} to ${max}`, row[column], index);
    }
    return value;
  });
  return [...new Set(values)].sort((a, b) => a - b);
}
