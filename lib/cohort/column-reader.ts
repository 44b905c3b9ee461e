import { type DictionaryColumn, isNumeric } from "./dictionary.ts";
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
  blanks: number;
  /** Takes the next cell, blank included; returns what is wrong with it. */
  take(cell: string): CellFault | null;
  /** The column read so far. */
  finish(): Column;
}

const numeral = /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i;

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

/** A reader for one column of the dictionary. */
export function columnReader(column: DictionaryColumn): ColumnReader {
  return isNumeric(column) ? numberReader(column) : textReader(column);
}

function numberReader(column: DictionaryColumn): ColumnReader {
  let values = new Float64Array(1024);
  let n = 0;
  return {
    column,
    blanks: 0,
    take(cell) {
      if (n === values.length) {
        const larger = new Float64Array(2 * n);
        larger.set(values);
        values = larger;
      }
      const text = cell.trim();
      if (text === "") {
        this.blanks++;
        values[n++] = NaN;
        return null;
      }
      const value = numeral.test(text) ? Number(text) : NaN;
      values[n++] = value;
      // few cells pass the first test; 20240302 is a number and a date
      if (value === value && text.length < 8) return null;
      if (looksLikeDate(text)) return faults.date;
      if (Number.isFinite(value)) return null;
      return looksLikeFreeText(text) ? faults.freeText : faults.number;
    },
    finish: () => values.slice(0, n),
  };
}

function textReader(column: DictionaryColumn): ColumnReader {
  const values: string[] = [];
  // one string object a code, whatever the number of rows
  const known = new Map<string, string>();
  const codes = column.categories?.map((category) => category.code) ?? [];
  for (const code of codes) known.set(code, code);
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
    take(cell) {
      const text = cell.trim();
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
