import { type DictionaryColumn, dictionaryColumn, isNumeric } from "../dictionary/mod.ts";
import { type HeldColumn, medianOf, numberAt, shownNumber, textAt } from "../cells/mod.ts";
import { report, type Table } from "../table/mod.ts";

interface UnitGuard {
  /** Whether the median, or the largest number, betrays another unit. */
  wrong: (median: number, largest: number) => boolean;
  found: string;
  wanted: string;
}

const centimetres: UnitGuard = {
  wrong: (median) => median < 12,
  found: "centimetres",
  wanted: "millimetres",
};

// Medians that no cohort has in the right unit. Common practice, no source.
const unitGuards: Record<string, UnitGuard> = {
  lvedd: centimetres,
  lvesd: { ...centimetres, wrong: (median) => median < 9 },
  tether: { ...centimetres, wrong: (median, largest) => median > 0 && largest <= 3 },
  rf: { wrong: (median) => median > 0 && median <= 1, found: "fractions", wanted: "percent" },
  lvef: { wrong: (median) => median <= 1, found: "fractions", wanted: "percent" },
  eroa: {
    wrong: (median) => median >= 3,
    found: "square millimetres",
    wanted: "square centimetres",
  },
};

/**
 * Checks each column of a table by itself: units by the median, then required values, whole
 * numbers, hard and soft ranges. Values are never converted.
 */
export function checkCells(table: Table): void {
  for (const [name, values] of table.columns) {
    const column = dictionaryColumn(table.name, name, table.own);
    if (!column) continue;
    if (column.complete) checkComplete(table, column, values);
    if (isNumeric(column) && !checkUnit(table, name, values)) {
      checkRange(table, column, values);
    }
  }
}

function checkComplete(
  table: Table,
  column: DictionaryColumn,
  values: HeldColumn,
): void {
  if (!table.blanks[column.name]) return;
  const reported = new Set<number | null>();
  for (const error of table.errors) {
    if (error.columns[0] === column.name) reported.add(error.row);
  }
  for (const problem of table.problems) {
    if (problem.column === column.name) reported.add(problem.row);
  }
  for (let row = 0; row < table.n; row++) {
    // a cell that could not be read has been reported already
    if (textAt(values, row) !== "" || !Number.isNaN(numberAt(values, row))) continue;
    if (reported.has(row)) continue;
    report(table, row, {
      rule: "required-value",
      column: column.name,
      // a visit of nobody is one visit less; a patient without a pseudonym could be anybody
      severity: column.type === "identifier" && table.name === "patients" ? "structural" : "error",
      message: "is blank",
      remedy: "each row must have a value here",
    });
  }
}

function checkUnit(table: Table, name: string, values: HeldColumn): boolean {
  const guard = unitGuards[name];
  if (!guard) return false;
  const median = medianOf(values);
  if (median === undefined || !guard.wrong(median, largestOf(table, values))) return false;
  report(table, null, {
    rule: "unit",
    column: name,
    severity: "structural",
    message: `its median of ${Number(median.toPrecision(3))} says ${guard.found}`,
    remedy: `give it in ${guard.wanted}; nothing is converted by guess`,
  });
  return true;
}

function largestOf(table: Table, values: HeldColumn): number {
  let largest = -Infinity;
  for (let row = 0; row < table.n; row++) largest = Math.max(largest, numberAt(values, row) || 0);
  return largest;
}

function checkRange(table: Table, column: DictionaryColumn, values: HeldColumn): void {
  const min = column.hard?.min ?? -Infinity;
  const max = column.hard?.max ?? Infinity;
  const low = column.soft?.min ?? -Infinity;
  const high = column.soft?.max ?? Infinity;
  const whole = column.type !== "number";
  const unit = column.unit ? ` ${column.unit}` : "";
  for (let row = 0; row < table.n; row++) {
    const value = numberAt(values, row);
    // written so that NaN, a missing value, passes
    const impossible = value < min || value > max;
    if (!impossible && !(whole && value % 1 !== 0 && value === value)) {
      if (value < low || value > high) {
        report(table, row, {
          rule: "soft-range",
          column: column.name,
          value: shownNumber(value),
          severity: "warning",
          message: value > high ? `above ${high}${unit}` : `below ${low}${unit}`,
          remedy: "possible but rare: check it",
        });
      }
      continue;
    }
    if (column.name === "age" && value > max) {
      report(table, row, {
        rule: "age",
        column: column.name,
        severity: "structural",
        message: "above 90, which can identify a patient",
        remedy: "write 90 for 90 and over",
      });
      continue;
    }
    report(table, row, {
      rule: impossible ? "hard-range" : "whole-number",
      column: column.name,
      value: shownNumber(value),
      severity: "error",
      message: impossible ? `not between ${min} and ${max}${unit}` : "not a whole number",
      remedy: "correct it, or leave it blank where it is missing",
    });
  }
}
