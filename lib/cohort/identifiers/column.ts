import { type DictionaryColumn, isNumeric } from "../dictionary/mod.ts";
import type { IdentifierKind } from "./kinds.ts";
import { lookLikeNames } from "../cells/mod.ts";
import { looksLikeName } from "./values.ts";

/** What was seen of a value, or of a kind of value. */
export interface Seen {
  kind: IdentifierKind | null;
  count: number;
  line: number;
  /** Patients who have it, the first three of them; where rows are not told apart, cells. */
  owners?: string[];
}

/** A value that more patients have than this is a category. */
const rareCount = 2;

/** Whether so few patients have a value that it could be one person's. */
export function isRare({ count, owners }: Seen): boolean {
  return (owners?.length ?? count) <= rareCount;
}

/** What is known of a column while it is looked at. */
export interface ColumnState {
  heading: IdentifierKind | null;
  expected: DictionaryColumn | null;
  allowed: Set<string>;
  /** Kinds that the study file waives. */
  waived: ReadonlySet<IdentifierKind>;
  seen: Map<string, Seen>;
  /** The last form a pseudonym had, and what those of that form are. */
  form: { letters: string; length: number; kind: IdentifierKind | null } | null;
  /** Cells beyond the distinct values that are kept, by kind. */
  beyond: Map<IdentifierKind | null, Seen>;
  filled: number;
  firstLine: number;
  numerals: number;
  /** Whole numbers of five digits, and those a spreadsheet would take for a day. */
  fiveDigits: number;
  leadingZeros: number;
  /** Numbers with decimals: days as a spreadsheet counts them, years to the day, degrees. */
  dayFractions: number;
  yearFractions: number;
  degrees: number;
  tooLong: Seen;
  old: Seen;
  isAge: boolean;
}

/** How many digits a plain whole number has, -1 for a number with decimals, 0 for anything else. */
export function wholeDigits(cell: string): number {
  let mark = false;
  const length = cell.length;
  for (let k = 0; k < length; k++) {
    const c = cell.charCodeAt(k);
    if (c >= 48 && c <= 57) continue;
    if (c === 45 && k === 0 && length > 1) mark = true;
    else if ((c === 46 || c === 44) && !mark && k < length - 1 && length < 20) mark = true;
    else return 0;
  }
  return mark ? -1 : length;
}

/** The number with which a cell of ages begins, such as `95`, `94,5` or `93 years`, or NaN. */
export function ageOf(cell: string): number {
  const [age] = /^\s*\d+([.,]\d+)?/.exec(cell) ?? [];
  return age === undefined ? NaN : Number(age.replace(",", "."));
}

/** What a column is as a whole, where no single cell betrays it. */
export function columnKind(state: ColumnState): IdentifierKind | null {
  const { expected, filled, numerals, fiveDigits, leadingZeros, seen } = state;
  const { dayFractions, yearFractions, degrees } = state;
  if (expected?.type === "identifier") {
    let long = 0;
    for (const value of seen.keys()) if (/^\d{6,}$/.test(value)) long++;
    if (2 * long > filled) return "record-number";
    const texts = [...seen.keys()].filter((value) => /^[A-Za-z_-]+$/.test(value));
    return seen.size >= 3 && lookLikeNames([...seen.keys()]) && texts.some(isCapitalised)
      ? "name"
      : null;
  }
  if (expected && isNumeric(expected)) return null;
  if (expected === null && filled >= 5 && numerals === filled && fiveDigits > 0.8 * filled) {
    return leadingZeros > 0 ? "place" : "date";
  }
  if (expected === null && filled >= 5) {
    if (dayFractions + fiveDigits > 0.8 * filled || yearFractions > 0.5 * filled) return "date";
    if (degrees > 0.8 * filled) return "place";
  }
  if (filled < 10 || seen.size <= 30 || seen.size < 0.5 * filled) return null;
  let words = 0;
  let sentences = 0;
  let letters = 0;
  let codes = 0;
  for (const value of seen.keys()) {
    if (/\s/.test(value)) words++;
    if (/\S\s+\S+\s+\S+\s+\S/.test(value)) sentences++;
    if (/^[\p{L}'’ .,-]+$/u.test(value)) letters++;
    if (/\d/.test(value) && /^\S{4,}$/.test(value) && wholeDigits(value) === 0) codes++;
  }
  if (sentences > 0.3 * seen.size) return "free-text";
  if (letters > 0.8 * seen.size) {
    return lookLikeNames([...seen.keys()]) || words > 0 ? "name" : "unique-code";
  }
  if (words > 0.5 * seen.size) return "free-text";
  return expected === null && codes > 0.8 * seen.size ? "unique-code" : null;
}

/**
 * Whether most of the different words of an unknown column look like names, however
 * often they occur.
 */
export function holdsNames({ expected, seen }: ColumnState): boolean {
  if (expected !== null) return false;
  let words = 0;
  let names = 0;
  for (const value of seen.keys()) {
    if (!/\p{L}{2}/u.test(value)) continue;
    words++;
    if (looksLikeName(value)) names++;
  }
  return words >= 3 && 2 * names > words;
}

/**
 * Whether most filled cells have a value of their own, as a column that tells patients apart has.
 */
export function hasOwnValues({ filled, seen, beyond }: ColumnState): boolean {
  return beyond.size > 0 || (filled >= 10 && seen.size >= 0.5 * filled);
}

function isCapitalised(value: string): boolean {
  return /^[A-Z][a-z]/.test(value) || /^[A-Z]+$/.test(value);
}
