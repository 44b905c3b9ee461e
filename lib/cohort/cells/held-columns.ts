import type { Column } from "../model/mod.ts";
import { heldTextAt, type HeldTexts, heldTextsOf } from "./held-texts.ts";

/** A column of codes in two bytes a row: each row points at one of the levels, the first blank. */
export interface CodedText {
  codes: Uint16Array | Uint32Array;
  levels: string[];
}

/**
 * A column of numbers: in two bytes a row where all are multiples of 1 / `divisor` and small, which
 * measurements are, else in eight. The quotient is the number as it was read, to the last bit: both
 * are the double nearest to the same fraction.
 */
export interface HeldNumbers {
  values: Int16Array | Float64Array;
  divisor: number;
}

/** A column as a table holds it while it is checked: pseudonyms, all different, as bytes. */
export type HeldColumn = HeldNumbers | CodedText | HeldTexts;

/** A column that grows number by number. */
export interface NumberStore {
  put(value: number): void;
  finish(): HeldNumbers;
}

const noNumber = -32_768;
const largest = 32_767;

/** Numbers in one buffer that is moved when it is full, so that no second copy stays behind. */
export function numberStore(): NumberStore {
  let small: Int16Array<ArrayBuffer> | null = new Int16Array(1024);
  let wide = new Float64Array(0);
  let divisor = 1;
  let n = 0;
  const widen = () => {
    if (!small) return;
    wide = new Float64Array(small.length);
    for (let i = 0; i < n; i++) wide[i] = small[i] === noNumber ? NaN : small[i]! / divisor;
    small = null;
    divisor = 1;
  };
  /** Goes over from whole numbers to hundredths, where those there are have room. */
  const refine = (): boolean => {
    if (!small || divisor !== 1) return false;
    for (let i = 0; i < n; i++) {
      if (small[i] !== noNumber && Math.abs(small[i]!) > largest / 100) return false;
    }
    for (let i = 0; i < n; i++) if (small[i] !== noNumber) small[i]! *= 100;
    divisor = 100;
    return true;
  };
  const putWide = (value: number) => {
    if (n === wide.length) wide = new Float64Array(wide.buffer.transfer(16 * n));
    wide[n++] = value;
  };
  return {
    put(value) {
      if (!small) return putWide(value);
      if (n === small.length) small = new Int16Array(small.buffer.transfer(4 * n));
      if (value !== value) {
        small[n++] = noNumber;
        return;
      }
      let scaled = Math.round(value * divisor);
      if (scaled / divisor !== value && refine()) scaled = Math.round(value * divisor);
      if (scaled / divisor === value && Math.abs(scaled) <= largest && !Object.is(scaled, -0)) {
        small[n++] = scaled;
        return;
      }
      widen();
      putWide(value);
    },
    finish: () => ({
      values: small
        ? new Int16Array(small.buffer.transfer(2 * n))
        : new Float64Array(wide.buffer.transfer(8 * n)),
      divisor,
    }),
  };
}

/** A column of codes that grows row by row. */
export interface CodeStore {
  /** The code of a value; a new one where it has none yet. */
  codeOf(value: string): number;
  put(code: number): void;
  finish(): CodedText;
}

/** Codes in one buffer; a column of more than 65,535 values takes four bytes a row. */
export function codeStore(): CodeStore {
  const levels = [""];
  const known = new Map([["", 0]]);
  let codes: Uint16Array<ArrayBuffer> | Uint32Array<ArrayBuffer> = new Uint16Array(1024);
  let n = 0;
  return {
    codeOf(value) {
      let code = known.get(value);
      if (code === undefined) {
        code = levels.length;
        known.set(value, code);
        levels.push(value);
        if (code === 65_536) codes = Uint32Array.from(codes);
      }
      return code;
    },
    put(code) {
      if (n === codes.length) {
        const buffer = codes.buffer.transfer(2 * codes.byteLength);
        codes = codes instanceof Uint16Array ? new Uint16Array(buffer) : new Uint32Array(buffer);
      }
      codes[n++] = code;
    },
    finish() {
      const buffer = codes.buffer.transfer(n * codes.BYTES_PER_ELEMENT);
      return {
        codes: codes instanceof Uint16Array ? new Uint16Array(buffer) : new Uint32Array(buffer),
        levels,
      };
    },
  };
}

/** The text of a row; "" for one that is missing, and for a column of numbers. */
export function textAt(column: HeldColumn | undefined, row: number): string {
  if (column === undefined || "divisor" in column) return "";
  if ("pool" in column) return heldTextAt(column, row);
  return column.levels[column.codes[row] ?? 0] ?? "";
}

/** The number of a row; NaN for one that is missing, and for a column of text. */
export function numberAt(column: HeldColumn | undefined, row: number): number {
  if (column === undefined || !("divisor" in column)) return NaN;
  const value = column.values[row] ?? NaN;
  return value === noNumber && column.values instanceof Int16Array ? NaN : value / column.divisor;
}

/** Makes the value of a row a missing one. */
export function blank(column: HeldColumn, row: number): void {
  if ("pool" in column) column.lengths[row] = 0;
  else if ("levels" in column) column.codes[row] = 0;
  else column.values[row] = column.values instanceof Int16Array ? noNumber : NaN;
}

/** A column of numbers in full, NaN where one is missing; `null` for a column of text. */
export function numbersOf(column: HeldColumn | undefined): Float64Array | null {
  if (column === undefined || !("divisor" in column)) return null;
  const numbers = new Float64Array(column.values.length);
  for (let row = 0; row < numbers.length; row++) numbers[row] = numberAt(column, row);
  return numbers;
}

/** The upper median of a column of numbers; `undefined` where there is none. */
export function medianOf(column: HeldColumn): number | undefined {
  if (!("divisor" in column)) return undefined;
  const { values, divisor } = column;
  const median = values instanceof Int16Array ? upperMedian(values) : upperMiddle(values);
  return median === undefined ? undefined : median / divisor;
}

/** By how often each value is there: nothing is put in order. */
function upperMedian(values: Int16Array): number | undefined {
  const counts = new Uint32Array(largest - noNumber + 1);
  for (let row = 0; row < values.length; row++) counts[values[row]! - noNumber]!++;
  let before = 0;
  const middle = (values.length - counts[0]!) >> 1;
  for (let place = 1; place < counts.length; place++) {
    before += counts[place]!;
    if (before > middle) return place + noNumber;
  }
  return undefined;
}

function upperMiddle(values: Float64Array): number | undefined {
  // NaN is put last
  const ordered = values.slice().sort();
  let known = ordered.length;
  while (known > 0 && Number.isNaN(ordered[known - 1])) known--;
  return known === 0 ? undefined : ordered[known >> 1];
}

/** Numbers held as they are. */
export function heldNumbers(values: Float64Array): HeldNumbers {
  return { values, divisor: 1 };
}

/** A column as a cohort gives it. */
export function publishedColumn(column: HeldColumn): Column {
  if ("pool" in column) return [...heldTextsOf(column)];
  if ("divisor" in column) {
    const { values } = column;
    return values instanceof Float64Array ? values : numbersOf(column) ?? new Float64Array(0);
  }
  const { codes, levels } = column;
  const texts = new Array<string>(codes.length);
  for (let row = 0; row < texts.length; row++) texts[row] = levels[codes[row]!] ?? "";
  return texts;
}
