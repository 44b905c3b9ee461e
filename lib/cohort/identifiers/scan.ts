import { type DictionaryColumn, isNumeric } from "../dictionary/mod.ts";
import { findingsOf, type IdentifierFinding } from "./findings.ts";
import { ageOf, type ColumnState, type Seen, wholeDigits } from "./column.ts";
import { identifierOfHeading, isAgeHeading } from "./headings.ts";
import type { IdentifierKind } from "./kinds.ts";
import { identifierOfNumeral, identifierOfValue } from "./values.ts";

/** What a study file says of a column: what it becomes, and which raw values are codes. */
export interface ExpectedColumn {
  /** What it becomes. */
  column?: DictionaryColumn;
  /** Values that the study file maps or names as missing. */
  values?: Iterable<string>;
  /** Kinds of identifier that the study file says its values only look like. */
  waived?: readonly IdentifierKind[];
}

/** Looks at a table row by row; {@link IdentifierScan.finish} says what was found. */
export interface IdentifierScan {
  /** Takes one record, with its line in the file. */
  take(record: readonly string[], line: number): void;
  /**
   * Says whose the next row is: a value is rare where few patients have it, in however many rows.
   * Without it every row is another patient's.
   */
  of(owner: string): void;
  /** Takes one cell, in place of a whole record. */
  look(position: number, cell: string, line: number): void;
  /** Counts cells that need no look: short numbers, and texts looked at before that are codes. */
  pass(position: number, cells: { numerals: number; codes: number }): void;
  /** What looks like an identifier, by column and kind. Cells are counted once. */
  finish(): IdentifierFinding[];
}

/** Distinct values of a column that are kept. */
const mostDistinct = 20_000;

/**
 * Searches a table for identifiers: headings that announce them, values that have their form, and
 * columns that as a whole look like names, record numbers, post codes or spreadsheet dates.
 *
 * A cell that a study file's dictionary or code list knows is never suspected. Values are looked at
 * and forgotten: findings hold places and counts only. Cost: O(cells); a distinct text is tested
 * once, a short number hardly at all. Memory: 20,000 distinct values a column at most.
 *
 * @param header Headings as the file has them.
 * @param expected What each column is mapped to, by place; `undefined` where nothing is known.
 * @example
 * ```ts
 * import { identifierScan } from "mitral";
 * const scan = identifierScan(["id", "phone"]);
 * scan.take(["P1", "+44 20 7946 0018"], 2);
 * scan.finish()[0].kind; // "telephone"
 * ```
 */
export function identifierScan(
  header: readonly string[],
  expected: readonly (ExpectedColumn | undefined)[] = [],
): IdentifierScan {
  const states = header.map((heading, i) => stateOf(heading.trim(), expected[i]));
  let owner: string | undefined;
  return {
    take(record, line) {
      const width = Math.min(record.length, states.length);
      for (let i = 0; i < width; i++) {
        const cell = record[i]!;
        if (cell !== "") look(states[i]!, cell, { line, owner });
      }
    },
    of(next) {
      owner = next;
    },
    look(position, cell, line) {
      const state = states[position];
      if (state && cell !== "") look(state, cell, { line, owner });
    },
    pass(position, { numerals, codes }) {
      const state = states[position];
      if (!state) return;
      state.numerals += numerals;
      state.filled += numerals + codes;
    },
    finish: () => states.flatMap((state, i) => findingsOf(state, header[i] ?? "", i)),
  };
}

function stateOf(heading: string, expected: ExpectedColumn | undefined): ColumnState {
  const column = expected?.column ?? null;
  const none = (): Seen => ({ kind: null, count: 0, line: 0 });
  return {
    // a heading that is the dictionary's own announces what the dictionary says
    heading: column?.name === heading ? null : identifierOfHeading(heading),
    expected: column,
    allowed: new Set([
      ...(column?.categories ?? []).flatMap(({ code, label }) => [code, label]),
      ...(expected?.values ?? []),
    ].map((value) => value.trim().toLowerCase())),
    seen: new Map(),
    form: null,
    beyond: new Map(),
    waived: new Set(expected?.waived),
    filled: 0,
    firstLine: 0,
    numerals: 0,
    fiveDigits: 0,
    leadingZeros: 0,
    dayFractions: 0,
    yearFractions: 0,
    degrees: 0,
    tooLong: none(),
    old: none(),
    isAge: column ? column.name === "age" : isAgeHeading(heading),
  };
}

/** Where a cell stands. */
interface Place {
  line: number;
  owner: string | undefined;
}

/**
 * Letters as they are commonly written: full-width ones narrow, accents joined to their letters.
 */
function plainText(cell: string): string {
  return isPlain(cell) ? cell : cell.normalize("NFKC");
}

function isPlain(cell: string): boolean {
  for (let k = 0; k < cell.length; k++) if (cell.charCodeAt(k) > 127) return false;
  return true;
}

function look(state: ColumnState, written: string, { line, owner }: Place): void {
  const cell = plainText(written);
  if (state.filled++ === 0) state.firstLine = line;
  const digits = wholeDigits(cell);
  if (state.isAge && ageOf(cell) > 90) note(state.old, line);
  if (digits !== 0) {
    state.numerals++;
    if (digits === 5) {
      state.fiveDigits++;
      if (cell.startsWith("0")) state.leadingZeros++;
    }
    if (digits < 0 && state.expected === null) noteFraction(state, cell);
    if (digits < 5 && !(digits < 0 && isLongFloat.test(cell))) return;
    if (digits === 5 && state.expected?.type !== "identifier") {
      if (isTooLong(state, cell)) note(state.tooLong, line);
      return;
    }
    if (inRange(state, cell)) return;
  }
  // a map finds one of many numerals slowly: their hashes are alike
  const known = digits > 0 && state.seen.size >= mostDistinct ? undefined : state.seen.get(cell);
  if (known) {
    known.count++;
    if (known.owners && owner !== undefined) noteOwner(known.owners, owner);
    return;
  }
  const kind = kindOf(state, cell.trim(), digits);
  const entry: Seen = { kind, count: 1, line, ...(owner !== undefined && { owners: [owner] }) };
  if (state.seen.size < mostDistinct) {
    state.seen.set(cell, entry);
    return;
  }
  const more = state.beyond.get(kind);
  if (more) more.count++;
  else state.beyond.set(kind, entry);
}

/** Six digits or more and nothing behind the point: a record number that a spreadsheet took in. */
const isLongFloat = /^\d{6,}[.,]0*$/;

/** A third owner is enough to know that a value is not rare. */
function noteOwner(owners: string[], owner: string): void {
  if (owners.length < 3 && !owners.includes(owner)) owners.push(owner);
}

function noteFraction(state: ColumnState, cell: string): void {
  const [whole = "", part = ""] = cell.split(/[.,]/);
  // days since 1900 of the years 1954 to 2064
  if (whole.length === 5 && Number(whole) >= 20_000 && Number(whole) <= 60_000) {
    state.dayFractions++;
  }
  if (/^(19|20)\d\d$/.test(whole) && part.length >= 3) state.yearFractions++;
  if (part.length >= 4 && Math.abs(Number(cell.replace(",", "."))) <= 180) state.degrees++;
}

function kindOf(state: ColumnState, text: string, digits: number): IdentifierKind | null {
  if (text === "" || state.allowed.has(text.toLowerCase())) return null;
  // one record number tells nothing; a column of them does
  if (digits !== 0) {
    return state.expected?.type === "identifier" ? null : identifierOfNumeral(text);
  }
  const kind = state.expected?.type === "identifier"
    ? kindOfPseudonym(state, text)
    : identifierOfValue(text);
  // a pseudonym may look like any code
  const isCode = kind === "unique-code" || kind === "biometric" || kind === "vehicle";
  if (state.expected?.type === "identifier" && (isCode || kind === "place")) return null;
  return kind;
}

/**
 * {@link identifierOfValue} of a pseudonym. Of letters with digits after them, such as P0001, all
 * of one beginning and length are told by one: which digits they are matters to a quarter alone.
 */
function kindOfPseudonym(state: ColumnState, text: string): IdentifierKind | null {
  const { form } = state;
  if (form && text.length === form.length && isForm(text, form.letters)) return form.kind;
  const kind = identifierOfValue(text);
  const letters = /^[A-PR-Za-pr-z]{1,8}(?=\d+$)/.exec(text)?.[0];
  if (letters !== undefined) state.form = { letters, length: text.length, kind };
  return kind;
}

function isForm(text: string, letters: string): boolean {
  if (!text.startsWith(letters)) return false;
  for (let i = letters.length; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code < 48 || code > 57) return false;
  }
  return true;
}

function note(seen: Seen, line: number): void {
  if (seen.count++ === 0) seen.line = line;
}

/** Whether a number is one that the dictionary's column may have. */
function inRange({ expected }: ColumnState, text: string): boolean {
  const hard = expected && isNumeric(expected) ? expected.hard : null;
  return hard !== null && Number(text) >= hard.min && Number(text) <= hard.max;
}

/** Whether five digits are more than any measurement of the dictionary's column has. */
function isTooLong({ expected }: ColumnState, cell: string): boolean {
  const most = expected && isNumeric(expected) ? expected.hard?.max : undefined;
  if (most === undefined || Number(cell) <= most) return false;
  return most < 10_000 || Number(cell) > 25_000;
}
