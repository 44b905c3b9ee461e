import { codeKey, type Conversion, converted } from "./convert.ts";
import { type DictionaryColumn, isNumeric } from "../dictionary/mod.ts";
import { codeStore, type HeldColumn, numberStore } from "./held-columns.ts";
import { textStore } from "./held-texts.ts";
import { numberOf } from "./number-cell.ts";
import {
  looksLikeAlmostNumber,
  looksLikeCode,
  looksLikeDate,
  looksLikeFreeText,
  looksLikePseudonym,
} from "./suspicion.ts";

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
  /** Cells that need no second look: short numbers, and codes that stood there before. */
  passed: { numerals: number; codes: number };
  /** Takes the next cell, blank included; returns what is wrong with it. */
  take(cell: string): CellFault | null;
  /** The column read so far. */
  finish(): HeldColumn;
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
    remedy:
      'correct it, with a point for decimals, say in "codes" of its mapping which number it ' +
      "stands for, or leave it blank where it is missing",
  },
} satisfies Record<string, CellFault>;

/** Ways to write the values of one column that are remembered. */
const mostKnown = 10_000;

const plain: Conversion = { decimal: ".", factor: 1, codes: new Map(), missing: new Set() };

/** A reader for one column of the dictionary. */
export function columnReader(
  column: DictionaryColumn,
  conversion: Conversion = plain,
): ColumnReader {
  if (isNumeric(column)) return numberReader(column, conversion);
  return column.type === "identifier"
    ? pseudonymReader(column, conversion)
    : codeReader(column, conversion);
}

/** What a reader has found before the first cell. */
const nothingRead = (column: DictionaryColumn) => ({
  column,
  blanks: 0,
  missingCodes: 0,
  passed: { numerals: 0, codes: 0 },
});

function numberReader(column: DictionaryColumn, conversion: Conversion): ColumnReader {
  const { factor, codes, missing } = conversion;
  const point = conversion.decimal === "," ? 44 : 46;
  const whole = column.type !== "number";
  const recodes = codes.size > 0 || missing.size > 0;
  const store = numberStore();
  let seen = false;
  const reader: ColumnReader = {
    ...nothingRead(column),
    take(cell) {
      if (cell === "") {
        reader.blanks++;
        store.put(NaN);
        return null;
      }
      if (!recodes && cell.length < 8) {
        // nearly every cell
        const value = numberOf(cell, point);
        if (value === value) {
          // the first is looked at, so that its line is known
          if (seen && (cell.length < 5 || value % 1 !== 0)) reader.passed.numerals++;
          seen = true;
          store.put(factor === 1 ? value : converted(value, factor, whole));
          return null;
        }
      }
      return takeText(cell.trim());
    },
    finish: () => store.finish(),
  };
  const takeText = (text: string): CellFault | null => {
    const key = recodes ? codeKey(text) : text;
    if (text === "" || missing.has(key)) {
      reader.blanks++;
      if (text !== "") reader.missingCodes++;
      store.put(NaN);
      return null;
    }
    const ours = codes.get(key);
    if (ours !== undefined) {
      store.put(Number(ours));
      return null;
    }
    const value = numberOf(text, point);
    store.put(factor === 1 ? value : converted(value, factor, whole));
    // 20240302 is a number and a date
    if (value === value && text.length < 8) return null;
    if (isSpreadsheetError(text)) return faults.number;
    if (looksLikeDate(text)) return faults.date;
    if (Number.isFinite(value)) return null;
    return looksLikeFreeText(text) && !looksLikeAlmostNumber(text)
      ? faults.freeText
      : faults.number;
  };
  return reader;
}

/** Pseudonyms: kept as they are, nothing compared with codes. */
function pseudonymReader(column: DictionaryColumn, { missing }: Conversion): ColumnReader {
  const store = textStore();
  const reader: ColumnReader = {
    ...nothingRead(column),
    take(cell) {
      const text = cell.trim();
      const coded = text !== "" && missing.size > 0 && missing.has(codeKey(text));
      const fault = text === "" || coded || looksLikePseudonym(text) ? null : faults.pseudonym;
      if (text === "" || coded) reader.blanks++;
      if (coded) reader.missingCodes++;
      store.put(coded || fault ? "" : text);
      return fault;
    },
    finish: () => store.finish(),
  };
  return reader;
}

function codeReader(column: DictionaryColumn, conversion: Conversion): ColumnReader {
  const store = codeStore();
  // the file's text and its code: each is looked at once, whatever the number of rows
  const known = new Map<string, number>();
  const codes = column.categories?.map((category) => category.code) ?? [];
  const recodes = conversion.codes.size > 0 || conversion.missing.size > 0;
  const wrongCode: CellFault = {
    rule: "code",
    message: `is not one of ${codes.join(", ")}`,
    remedy:
      'say in "codes" of its mapping what it stands for, or leave it blank where it is missing',
  };
  const check = (text: string): CellFault | null => {
    if (column.type === "code") return looksLikeCode(text) ? null : faults.surgeon;
    if (isSpreadsheetError(text)) return wrongCode;
    if (looksLikeDate(text)) return faults.date;
    return looksLikeFreeText(text) ? faults.freeText : wrongCode;
  };
  /** What a text stands for, or what is wrong with it. */
  const meaning = (text: string): string | CellFault => {
    if (codes.includes(text)) return text;
    if (column.type === "set") {
      const parts = text.split(";").map((part) => part.trim());
      if (parts.every((part) => codes.includes(part))) return parts.join(";");
    }
    return check(text) ?? text;
  };
  const reader: ColumnReader = {
    ...nothingRead(column),
    take(cell) {
      const code = known.get(cell);
      if (code !== undefined) {
        reader.passed.codes++;
        store.put(code);
        return null;
      }
      let text = cell.trim();
      if (recodes && text !== "") {
        const key = codeKey(text);
        if (conversion.missing.has(key)) {
          reader.missingCodes++;
          text = "";
        } else text = conversion.codes.get(key) ?? text;
      }
      if (text === "") {
        reader.blanks++;
        store.put(0);
        return null;
      }
      const meant = meaning(text);
      if (typeof meant === "string") {
        const code = store.codeOf(meant);
        if (known.size < mostKnown) known.set(cell, code);
        store.put(code);
        return null;
      }
      // a value that may identify somebody goes no further than this
      store.put(0);
      return meant;
    },
    finish: () => store.finish(),
  };
  return reader;
}

/** Whether a cell holds what a spreadsheet writes where a formula failed. */
function isSpreadsheetError(text: string): boolean {
  return /^#(N\/A|DIV\/0!|REF!|VALUE!|NAME\?|NULL!|NUM!|DATE)$/.test(text);
}
