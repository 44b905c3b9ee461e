import type { Column } from "./types.ts";

/** A column of codes in two bytes a row: each row points at one of the levels, the first blank. */
export interface CodedText {
  codes: Uint16Array | Uint32Array;
  levels: string[];
}

/** A column as a table holds it while it is checked: pseudonyms, all different, as they are. */
export type HeldColumn = Float64Array | CodedText | string[];

/** A column that grows number by number. */
export interface NumberStore {
  put(value: number): void;
  finish(): Float64Array;
}

/** Numbers in one buffer that is moved when it is full, so that no second copy stays behind. */
export function numberStore(): NumberStore {
  let values = new Float64Array(1024);
  let n = 0;
  return {
    put(value) {
      if (n === values.length) values = new Float64Array(values.buffer.transfer(16 * n));
      values[n++] = value;
    },
    finish: () => new Float64Array(values.buffer.transfer(8 * n)),
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
  if (column === undefined || column instanceof Float64Array) return "";
  if (Array.isArray(column)) return column[row] ?? "";
  return column.levels[column.codes[row] ?? 0] ?? "";
}

/** The number of a row; NaN for one that is missing, and for a column of text. */
export function numberAt(column: HeldColumn | undefined, row: number): number {
  return column instanceof Float64Array ? column[row] ?? NaN : NaN;
}

/** Makes the text of a row a missing one. */
export function blankText(column: CodedText | string[], row: number): void {
  if (Array.isArray(column)) column[row] = "";
  else column.codes[row] = 0;
}

/** A column as a cohort gives it. */
export function publishedColumn(column: HeldColumn): Column {
  if (column instanceof Float64Array || Array.isArray(column)) return column;
  const { codes, levels } = column;
  return Array.from(codes, (code) => levels[code] ?? "");
}
