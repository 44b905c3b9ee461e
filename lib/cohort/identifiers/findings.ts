import {
  columnKind,
  type ColumnState,
  hasOwnValues,
  holdsNames,
  isRare,
  type Seen,
  wholeDigits,
} from "./column.ts";
import { type IdentifierKind, identifierKinds, identifierRemedy } from "./kinds.ts";
import { identifierOfRareValue, looksLikeName } from "./values.ts";
import { looksLikeColumnName } from "../cells/mod.ts";

/** Cells of one column that look like one kind of identifier. No value is in it. */
export interface IdentifierFinding {
  /** The heading, or `column 3` where the heading itself could be a value. */
  column: string;
  /** Place of the column, from 0. */
  position: number;
  /** What it looks like. */
  kind: IdentifierKind;
  /** Cells that look so, of those that are filled. */
  cells: number;
  /** Filled cells of the column. */
  filled: number;
  /** Line of the first of them, the header being line 1. */
  line: number;
  /** Said by the heading, by the values, or by the column as a whole. */
  because: "heading" | "values" | "column";
  /** The study file says, with a reason, that these only look like identifiers. */
  waived?: true;
}

/** A finding in words: what a person reads before deciding what to do. */
export function identifierMessage({ kind, cells, because }: IdentifierFinding): string {
  const what = identifierKinds[kind];
  const count = cells === 1 ? "1 cell" : `${cells} cells`;
  return because === "heading"
    ? `by its heading holds ${what} (${count})`
    : `${count} that could be ${what}`;
}

/** {@link identifierRemedy} of a finding. */
export function remedyOf({ kind }: IdentifierFinding): string {
  return identifierRemedy(kind);
}

/** What was found in a column, once every row was looked at. Cells are counted once. */
export function findingsOf(
  state: ColumnState,
  heading: string,
  position: number,
): IdentifierFinding[] {
  const found = new Map<string, IdentifierFinding>();
  const column = looksLikeColumnName(heading) ? heading : `column ${position + 1}`;
  const add = (
    kind: IdentifierKind,
    { count, line }: Pick<Seen, "count" | "line">,
    waived = false,
  ) => {
    const key = `${kind} ${waived}`;
    const finding = found.get(key);
    if (finding) {
      finding.cells += count;
      finding.line = Math.min(finding.line, line);
    } else {
      const { filled } = state;
      found.set(key, {
        column,
        position,
        kind,
        cells: count,
        filled,
        line,
        because: "values",
        ...(waived && { waived }),
      });
    }
  };
  if (state.filled === 0) return [];
  const whole = { count: state.filled, line: state.firstLine };
  const announcing = state.heading && announced(state.heading, column, position, whole);
  if (announcing && !waivesHeading(state, announcing.kind)) return [announcing];
  let telling = 0;
  for (const { kind, count } of [...state.seen.values(), ...state.beyond.values()]) {
    if (kind) telling += count;
  }
  const byColumn = 2 * telling >= state.filled ? null : columnKind(state);
  if (byColumn) return [{ ...announced(byColumn, column, position, whole), because: "column" }];
  // what a waived heading announces is no longer told from names by its form
  const names = !announcing && holdsNames(state);
  for (const [value, seen] of state.seen) {
    const kind = seen.kind ??
      (names && looksLikeName(value.trim())
        ? "name"
        : isRare(seen)
        ? rareKind(state, value.trim())
        : null);
    if (kind) add(kind, seen, waivesValue(state, kind, value));
  }
  for (const [kind, seen] of state.beyond) if (kind) add(kind, seen);
  if (state.old.count > 0) add("age", state.old);
  if (state.tooLong.count > 0) add("record-number", state.tooLong);
  const byValues = [...found.values()];
  if (!announcing) return byValues;
  // what the heading says of every cell is waived; what single cells say beside it may not be
  return [{ ...announcing, waived: true }, ...byValues.filter(({ waived }) => !waived)];
}

/** Whether a kind is waived for a column of whose values patients do not have one each. */
function isWaived(state: ColumnState, kind: IdentifierKind): boolean {
  return state.waived.has(kind) && !hasOwnValues(state);
}

/** A heading announces names or places of people; numerals under it could be post codes. */
function waivesHeading(state: ColumnState, kind: IdentifierKind): boolean {
  return (kind === "name" || kind === "place") && state.numerals === 0 && isWaived(state, kind);
}

/** A value with many digits could be a number of a person, whatever else it looks like. */
function waivesValue(state: ColumnState, kind: IdentifierKind, value: string): boolean {
  return isWaived(state, kind) && value.replace(/\D/g, "").length < 5;
}

function announced(
  kind: IdentifierKind,
  column: string,
  position: number,
  { count, line }: Pick<Seen, "count" | "line">,
): IdentifierFinding {
  return { column, position, kind, cells: count, filled: count, line, because: "heading" };
}

/** What a value is by its rarity. */
function rareKind(state: ColumnState, text: string): IdentifierKind | null {
  if (text === "" || wholeDigits(text) !== 0) return null;
  if (state.allowed.has(text.toLowerCase())) return null;
  const kind = identifierOfRareValue(text);
  const isCode = kind === "unique-code" || kind === "vehicle";
  if (!isCode || state.expected?.type !== "identifier") return kind;
  return null;
}
