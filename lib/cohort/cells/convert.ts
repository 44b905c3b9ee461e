import type { Unit } from "../../study/mapping/mod.ts";
import { type DictionaryColumn, isNumeric } from "../dictionary/mod.ts";

/** What is done to the cells of a column before they are read. */
export interface Conversion {
  decimal: "." | ",";
  /** The file's number times this is ours. */
  factor: number;
  /** Codes of the file, in lower case without outer spaces, and ours. */
  codes: ReadonlyMap<string, string>;
  /** Values that stand for a missing one, written as the codes are. */
  missing: ReadonlySet<string>;
}

type Quantity = "length" | "area" | "share" | "time" | "pressure" | "volume";

// Each unit as so many of the first unit of its quantity. A year is 365.25 days, a month a twelfth
// of it; 1 kPa = 7.50062 mmHg (both by definition, the second to six digits).
const units: Record<Unit, [Quantity, number]> = {
  mm: ["length", 1],
  cm: ["length", 10],
  m: ["length", 1000],
  mm2: ["area", 1],
  cm2: ["area", 100],
  percent: ["share", 1],
  fraction: ["share", 100],
  seconds: ["time", 1],
  minutes: ["time", 60],
  hours: ["time", 3600],
  days: ["time", 86_400],
  weeks: ["time", 604_800],
  months: ["time", 2_629_800],
  years: ["time", 31_557_600],
  mmHg: ["pressure", 1],
  kPa: ["pressure", 7.50062],
  mL: ["volume", 1],
  L: ["volume", 1000],
};

const dictionaryUnits: Record<string, Unit> = {
  mm: "mm",
  cm: "cm",
  "cm²": "cm2",
  "%": "percent",
  years: "years",
  days: "days",
  "days from operation": "days",
  min: "minutes",
  mmHg: "mmHg",
  mL: "mL",
};

/** The unit of a dictionary column, where it is one that can be converted to. */
export function unitOf(column: DictionaryColumn): Unit | null {
  return dictionaryUnits[column.unit ?? ""] ?? null;
}

/** Units that a file may use for a dictionary column, the dictionary's own first. */
export function unitsFor(column: DictionaryColumn): Unit[] {
  const own = unitOf(column);
  if (own === null || !isNumeric(column)) return [];
  const [quantity] = units[own];
  const others = (Object.keys(units) as Unit[]).filter((unit) =>
    unit !== own && units[unit][0] === quantity
  );
  return [own, ...others];
}

/** What a number in `unit` is multiplied by to be in the column's own; `null` if it cannot be. */
export function factorFrom(unit: Unit, column: DictionaryColumn): number | null {
  if (!unitsFor(column).includes(unit)) return null;
  const own = unitOf(column);
  return own === null ? null : units[unit][1] / units[own][1];
}

/** Conversion by a factor; whole for a whole-numbered column, free of the noise of multiplying. */
export function converted(value: number, factor: number, whole: boolean): number {
  const product = value * factor;
  return whole ? Math.round(product) : Number(product.toPrecision(12));
}

/** A code as it is compared: without outer spaces, in lower case. */
export function codeKey(text: string): string {
  return text.trim().toLowerCase();
}
