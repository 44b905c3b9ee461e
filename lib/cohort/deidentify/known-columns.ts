import { type DerivedRule, type Mapping, type Unit, whyUnread } from "../../study/mapping/mod.ts";
import type { OwnColumn } from "../../study/plan/mod.ts";
import {
  centimetres,
  codeKey,
  factorFrom,
  kilograms,
  looksLikeCode,
  numberOf,
  shownText,
} from "../cells/mod.ts";
import {
  type DictionaryColumn,
  dictionaryColumn,
  isNumeric,
  type TableName,
} from "../dictionary/mod.ts";

/** A column of a file of which it is known what its cells may say. */
export interface KnownColumn {
  /** What it becomes; `null` where something else is worked out from it. */
  column: DictionaryColumn | null;
  /**
   * Whether a filled cell says what the column may say: a number in its range, one of its codes.
   */
  allows(cell: string): boolean;
  /** The file has it in another unit than the dictionary: its numbers need not be whole. */
  converted?: boolean;
  /** That it is filled is all that counts: a cell becomes "1". */
  filledOnly?: true;
}

/** What a study file says of its files, as far as a clean copy needs it. */
export interface KnownPlan {
  /** How the files write the dictionary's columns. */
  mapping: Mapping;
  /** Columns of the centre's own. */
  columns?: readonly OwnColumn[];
}

type Cell = string | number;

/** How a file writes a column. */
interface FileCodes {
  unit?: Unit;
  codes?: Record<string, Cell>;
  missing?: Cell[];
}

/**
 * What may stand in each column of a file: by the dictionary where the heading is one of its names,
 * by the study file's mapping elsewhere. `null` where nothing is known: such a column
 * does not leave.
 */
export function knownColumns(
  table: TableName,
  header: readonly string[],
  plan?: KnownPlan,
): (KnownColumn | null)[] {
  const worked = new Map(
    plan?.mapping.derived[table].flatMap((rule) => sourcesKnown(table, rule, plan)) ?? [],
  );
  return header.map((heading) => {
    const source = plan?.mapping[table][heading];
    if (whyUnread(source) !== null) return null;
    const name = typeof source === "object"
      ? "column" in source ? source.column : heading
      : source ?? heading;
    const column = dictionaryColumn(table, name, plan?.columns);
    const conversion: FileCodes = typeof source === "object" && "column" in source ? source : {};
    const missing = [...conversion.missing ?? [], ...plan?.mapping.missing ?? []];
    if (!column) return worked.get(heading) ?? null;
    const own = {
      column,
      converted: conversion.unit !== undefined,
      allows: allowedBy(column, { ...conversion, missing }),
    };
    const other = worked.get(heading);
    return other ? { ...own, allows: (cell) => own.allows(cell) || other.allows(cell) } : own;
  });
}

/** Columns that others are worked out from, but for dates, which become days. */
function sourcesKnown(
  table: TableName,
  rule: DerivedRule,
  plan: KnownPlan,
): [string, KnownColumn][] {
  switch (rule.rule) {
    case "first-of": {
      const column = dictionaryColumn(table, rule.column, plan.columns);
      const missing = [...rule.missing ?? [], ...plan.mapping.missing];
      const allows = column ? allowedBy(column, { ...rule, missing }) : () => false;
      return rule.sources.map((source) => [source, { column: null, allows }]);
    }
    case "filled":
      return rule.sources.map((source) => [source, filled]);
    case "any-of":
    case "count-of":
      return rule.sources.map((source) => [source, yesOrNo(rule, plan)]);
    case "set-of":
      return Object.keys(rule.sources).map((source) => [source, yesOrNo(rule, plan)]);
    case "body-surface":
      return [
        [rule.height, measured(50 / centimetres[rule.heightUnit], 250)],
        [rule.weight, measured(20, 350 / kilograms[rule.weightUnit])],
      ];
    default:
      return [];
  }
}

const filled: KnownColumn = { column: null, allows: () => true, filledOnly: true };

function yesOrNo({ yes, no }: { yes: Cell[]; no: Cell[] }, plan: KnownPlan): KnownColumn {
  const words = wordsOf([...yes, ...no, ...plan.mapping.missing]);
  return { column: null, allows: (cell) => words.has(codeKey(cell)) };
}

/** A number as people's heights and weights are, in their unit. */
function measured(least: number, most: number): KnownColumn {
  return {
    column: null,
    allows: (cell) => {
      const value = numberOf(cell, 46);
      return value >= least && value <= most && /^\d+(\.\d{1,2})?$/.test(cell);
    },
  };
}

function allowedBy(
  column: DictionaryColumn,
  { unit, codes = {}, missing = [] }: FileCodes,
): KnownColumn["allows"] {
  const words = wordsOf([...Object.keys(codes), ...missing]);
  if (isNumeric(column)) {
    const factor = unit ? factorFrom(unit, column) ?? 1 : 1;
    // an age over 89 is written 90 before it leaves
    const most = column.name === "age" ? 120 : column.hard?.max ?? Infinity;
    const least = column.hard?.min ?? -Infinity;
    return (cell) => {
      if (isMeasured(cell)) {
        const value = numberOf(cell, 46) * factor;
        // half a grade is none: which of two it is nobody can tell
        const graded = column.type !== "ordinal" || Number.isInteger(value);
        if (graded && value >= least - slack && value <= most + slack) return true;
      }
      return words.has(codeKey(cell)) || isMissingWord(cell);
    };
  }
  if (column.type === "code") return (cell) => looksLikeCode(cell) || isMissingWord(cell);
  for (const { code } of column.categories ?? []) words.add(codeKey(code));
  return (cell) =>
    words.has(codeKey(cell)) || isMissingWord(cell) ||
    (column.type === "set" && cell.split(";").every((part) => words.has(codeKey(part))));
}

// a conversion between units may end beside the range by rounding
const slack = 1e-9;
/** Digits as measurements have them: a place on earth has more, and so have numbers of people. */
function isMeasured(cell: string): boolean {
  return /^-?(\d{1,5}([.,]\d{1,3})?|\d[.,]\d{1,6})$/.test(cell);
}

/** A word that stands for a missing value in many files. */
function isMissingWord(cell: string): boolean {
  return shownText(cell) !== null && !/\d/.test(cell);
}

function wordsOf(cells: readonly Cell[]): Set<string> {
  return new Set(cells.map((cell) => codeKey(String(cell))));
}
