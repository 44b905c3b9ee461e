import { codeKey, type Conversion, converted } from "./convert.ts";
import { type DictionaryColumn, isNumeric } from "./dictionary.ts";
import { numberOf } from "./number-cell.ts";
import {
  looksLikeCode,
  looksLikeDate,
  looksLikeFreeText,
  looksLikePseudonym,
} from "./suspicion.ts";
import type { Column } from "./types.ts";

/** What a reader says of a cell that is not as it should be. */
export interface CellFault {
  rule: "date" | "free-text" | "pseudonym" | "code" | "number";
  message: string;
  remedy: string;
}

/** Collects one column of a file, cell by cell, and converts it. */
export interface ColumnReader {
  column: DictionaryColumn;
  /** Cells without a value, whether blank or holding a code for a missing one. */
  blanks: number;
  /** Of these, cells with a code for a missing value. */
  missingCodes: number;
  /** Takes the next cell, blank included; returns what is wrong with it. */
  take(cell: string): CellFault | null;
  /** The column read so far. */
  finish(): Column;
}

const faults = {
  date: {
    rule: "date",
    message: "looks like a date",
    remedy: "replace dates by days from the operation; keep the year of operation only",
  },
  freeText: {
    rule: "free-text",
    message: "looks like free text",
    remedy: "remove free text, names and addresses before the file comes here",
  },
  pseudonym: {
    rule: "pseudonym",
    message: "is not a pseudonym of letters and digits",
    remedy: "give each patient a random pseudonym such as P0001",
  },
  surgeon: {
    rule: "free-text",
    message: "is not a short code",
    remedy: "replace names by codes such as S1",
  },
  number: {
    rule: "number",
    message: "is not a number",
    remedy: "correct it, with a point for decimals, or leave it blank where it is missing",
  },
} satisfies Record<string, CellFault>;

const plain: Conversion = { decimal: ".", factor: 1, codes: new Map(), missing: new Set() };

/** A reader for one column of the dictionary. */
export function columnReader(
  column: DictionaryColumn,
  conversion: Conversion = plain,
): ColumnReader {
  return isNumeric(column) ? numberReader(column, conversion) : textReader(column, conversion);
}

const chunkLength = 65_536;

/** Numbers in pieces of one length: growing copies nothing, so a column is held once. */
function numberReader(column: DictionaryColumn, conversion: Conversion): ColumnReader {
  const { factor, codes, missing } = conversion;
  const point = conversion.decimal === "," ? 44 : 46;
  const whole = column.type !== "number";
  const recodes = codes.size > 0 || missing.size > 0;
  let chunks: Float64Array[] = [];
  let chunk = new Float64Array(0);
  let at = chunkLength;
  const put = (value: number) => {
    if (at === chunkLength) {
      chunk = new Float64Array(chunkLength);
      chunks.push(chunk);
      at = 0;
    }
    chunk[at++] = value;
  };
  return {
    column,
    blanks: 0,
    missingCodes: 0,
    take(cell) {
      let text = cell.trim();
      if (text === "") {
        this.blanks++;
        put(NaN);
        return null;
      }
      let coded = false;
      if (recodes) {
        const key = codeKey(text);
        if (missing.has(key)) {
          this.blanks++;
          this.missingCodes++;
          put(NaN);
          return null;
        }
        const ours = codes.get(key);
        coded = ours !== undefined;
        if (ours !== undefined) text = ours;
      }
      const value = coded ? numberOf(text, 46) : numberOf(text, point);
      put(coded || factor === 1 ? value : converted(value, factor, whole));
      // few cells pass the first test; 20240302 is a number and a date
      if (value === value && text.length < 8) return null;
      if (looksLikeDate(text)) return faults.date;
      if (Number.isFinite(value)) return null;
      return looksLikeFreeText(text) ? faults.freeText : faults.number;
    },
    finish() {
      const n = chunks.length === 0 ? 0 : (chunks.length - 1) * chunkLength + at;
      const values = new Float64Array(n);
      chunks.forEach((piece, i) => {
        values.set(piece.subarray(0, n - i * chunkLength), i * chunkLength);
      });
      chunks = [];
      return values;
    },
  };
}

function textReader(column: DictionaryColumn, conversion: Conversion): ColumnReader {
  const values: string[] = [];
  // one string object a code, whatever the number of rows
  const known = new Map<string, string>();
  const codes = column.categories?.map((category) => category.code) ?? [];
  for (const code of codes) known.set(code, code);
  const recodes = conversion.codes.size > 0 || conversion.missing.size > 0;
  const wrongCode: CellFault = {
    rule: "code",
    message: `is not one of ${codes.join(", ")}`,
    remedy: "write one of the codes exactly, or leave it blank where it is missing",
  };
  const check = (text: string): CellFault | null => {
    if (column.type === "identifier") return looksLikePseudonym(text) ? null : faults.pseudonym;
    if (column.type === "code") return looksLikeCode(text) ? null : faults.surgeon;
    if (looksLikeDate(text)) return faults.date;
    return looksLikeFreeText(text) ? faults.freeText : wrongCode;
  };
  return {
    column,
    blanks: 0,
    missingCodes: 0,
    take(cell) {
      let text = cell.trim();
      if (recodes && text !== "") {
        const key = codeKey(text);
        if (conversion.missing.has(key)) {
          this.missingCodes++;
          text = "";
        } else text = conversion.codes.get(key) ?? text;
      }
      if (text === "") {
        this.blanks++;
        values.push("");
        return null;
      }
      const seen = known.get(text);
      if (seen !== undefined) {
        values.push(seen);
        return null;
      }
      if (column.type === "set") {
        const parts = text.split(";").map((part) => part.trim());
        if (parts.every((part) => codes.includes(part))) {
          const value = parts.join(";");
          known.set(text, value);
          values.push(value);
          return null;
        }
      }
      const fault = check(text);
      // a value that may identify somebody goes no further than this
      values.push(fault ? "" : text);
      if (!fault && column.type === "code") known.set(text, text);
      return fault;
    },
    finish: () => values,
  };
}
