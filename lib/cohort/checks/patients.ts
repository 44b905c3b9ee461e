import type { Study } from "../../study/file/mod.ts";
import { type Condition, dictionary, dictionaryColumn } from "../dictionary/mod.ts";
import { conditionHolds } from "../analysis/mod.ts";
import { daysPerYear } from "../follow-up/mod.ts";
import {
  heldTextsOf,
  lookLikeNames,
  numberAt,
  publishedColumn,
  shownNumber,
  shownTogether,
  textAt,
  textStore,
} from "../cells/mod.ts";
import { type Cells, patientRules } from "./patient-rules.ts";
import { type PseudonymIndex, pseudonymIndex, report, type Table } from "../table/mod.ts";
import type { Column } from "../model/mod.ts";

/**
 * Checks each patient's row against the rules that compare its cells, and the rows together.
 *
 * @returns Where each pseudonym is.
 */
export function checkPatients(table: Table, study: Study): PseudonymIndex {
  const cells = cellsOf(table);
  for (const rule of patientRules) {
    if (!table.columns.has(rule.column)) continue;
    const { broken, beside = [], ...finding } = rule;
    for (let row = 0; row < table.n; row++) {
      if (!broken(row, cells)) continue;
      const value = () => shownTogether(rule.column, beside, (name) => shownCell(name, row, cells));
      report(table, row, { ...finding, beside, value });
    }
  }
  for (let row = 0; row < table.n; row++) {
    if (cells.number("op_year", row) <= study.timeZero.closingYear) continue;
    if (Number.isNaN(cells.number("op_year", row))) continue;
    report(table, row, {
      rule: "closing-year",
      column: "op_year",
      value: shownCell("op_year", row, cells),
      severity: "error",
      message: `is after ${study.timeZero.closingYear}, when the study closed`,
      remedy: "correct it, or timeZero.closingYear in the study file",
    });
  }
  checkFollowUp(table, cells, study.timeZero.closingYear);
  const patients = checkPseudonyms(table);
  checkSeries(table, cells);
  checkConditionalColumns(table);
  return patients;
}

// Survivors of a cohort are followed for most of the time there was; weeks taken for days would
// make it a seventh, months a thirtieth. Common practice, no source.
const leastFollowed = 1 / 6;
const leastSurvivors = 20;

/**
 * Follow-up against the time between operation and the study's close: none can be longer, counted
 * from the year's first day, and that of survivors is seldom a small part of it.
 */
function checkFollowUp(table: Table, { number }: Cells, closingYear: number): void {
  const shares = new Float64Array(table.n);
  let survivors = 0;
  for (let row = 0; row < table.n; row++) {
    const year = number("op_year", row);
    const followed = number("fu_days", row) / daysPerYear;
    if (year <= closingYear && year + followed > closingYear + 2 / daysPerYear) {
      report(table, row, {
        rule: "follow-up-in-study",
        column: "fu_days",
        value: () =>
          shownTogether("fu_days", ["op_year"], (name) => shownNumber(number(name, row))),
        severity: "error",
        message: `ends after ${closingYear}, when the study closed`,
        remedy: "correct fu_days or op_year, or timeZero.closingYear in the study file",
      });
    }
    const possible = closingYear - year - 0.5;
    if (possible >= 1 && number("dead", row) === 0 && followed >= 0) {
      shares[survivors++] = followed / possible;
    }
  }
  if (survivors < leastSurvivors) return;
  const middle = shares.subarray(0, survivors).sort()[survivors >> 1] ?? 1;
  if (middle >= leastFollowed) return;
  report(table, null, {
    rule: "unit-of-time",
    column: "fu_days",
    severity: "warning",
    message:
      "half of the survivors were followed for less than a sixth of the time since operation",
    remedy: "check that it is in days, not weeks, months or years, and so are reint_day and visits",
  });
}

function checkPseudonyms(table: Table): PseudonymIndex {
  const ids = table.columns.get("id");
  const pseudonyms = ids && "pool" in ids ? ids : textStore().finish();
  if (lookLikeNames(heldTextsOf(pseudonyms))) {
    report(table, null, {
      rule: "names",
      column: "id",
      severity: "structural",
      message: "could be names: letters alone, and of uneven length",
      remedy: "give each patient a random pseudonym of one length, such as P0001",
    });
  }
  return pseudonymIndex(pseudonyms, (row, first) =>
    report(table, row, {
      rule: "patient-twice",
      column: "id",
      severity: "structural",
      message: `has the pseudonym of line ${table.lines.at(first)}`,
      remedy: "keep one row a patient; which one is for somebody who knows the patient",
    }));
}

const yearRange = dictionaryColumn("patients", "op_year")?.hard ?? { min: 0, max: 0 };

/** Place in the series: unique, and never falling from one year to the next. */
function checkSeries(table: Table, { number }: Cells): void {
  const seen = new Int32Array(1 + highestPlace(table));
  const shared = new Set<number>();
  const twice = (row: number, other: number) =>
    report(table, row, {
      rule: "operation-twice",
      column: "case_seq",
      value: shownNumber(number("case_seq", row)),
      severity: "error",
      message: `has the place in the series of line ${table.lines.at(other)}`,
      remedy: "check for an operation entered twice; both rows are set aside",
    });
  const years = new Map<number, { first: number; last: number }>();
  for (let row = 0; row < table.n; row++) {
    const place = number("case_seq", row);
    if (Number.isNaN(place)) continue;
    // a place that is not whole or out of range is an error already
    const first = Number.isInteger(place) ? seen[place] : undefined;
    if (first === 0) seen[place] = row + 1;
    else if (first !== undefined) {
      if (!shared.has(place)) twice(first - 1, row);
      shared.add(place);
      twice(row, first - 1);
    }
    const year = number("op_year", row);
    // what is no year of the dictionary has been reported, and must not stand in a message
    if (!(year >= yearRange.min && year <= yearRange.max)) continue;
    const span = years.get(year);
    if (!span) years.set(year, { first: place, last: place });
    else {
      span.first = Math.min(span.first, place);
      span.last = Math.max(span.last, place);
    }
  }
  const ordered = [...years].sort(([a], [b]) => a - b);
  for (let i = 1; i < ordered.length; i++) {
    const [earlier, later] = [ordered[i - 1], ordered[i]];
    if (!earlier || !later || earlier[1].last < later[1].first) continue;
    report(table, null, {
      rule: "series-order",
      column: "case_seq",
      severity: "warning",
      message: `falls between ${earlier[0]} and ${later[0]}`,
      remedy: "check case_seq and op_year: learning curves need the order of operations",
    });
  }
}

/** The last place of the series that is not out of range. */
function highestPlace(table: Table): number {
  const places = table.columns.get("case_seq");
  const limit = dictionaryColumn("patients", "case_seq")?.hard?.max ?? 0;
  let highest = 0;
  for (let row = 0; row < table.n; row++) {
    const place = numberAt(places, row);
    if (place > highest && place <= limit) highest = place;
  }
  return Math.floor(highest);
}

/** A conditional column may be absent only where it applies to nobody. */
function checkConditionalColumns(table: Table): void {
  for (const column of dictionary.patients) {
    if (column.requirement !== "conditional" || !column.condition) continue;
    if (table.columns.has(column.name)) continue;
    const columns: Record<string, Column> = {};
    for (const name of columnsOf(column.condition)) {
      const held = table.columns.get(name);
      if (held) columns[name] = publishedColumn(held);
    }
    const count = conditionHolds({ n: table.n, columns }, column.condition)
      .reduce((sum, holds) => sum + holds, 0);
    if (count === 0) continue;
    report(table, null, {
      rule: "missing-column",
      column: column.name,
      severity: "structural",
      message: `the column is missing, and ${count} patients have ${column.condition.text}`,
      remedy: "add it, or map the column that holds it; its values may be blank",
    });
  }
}

function cellsOf({ columns }: Table): Cells {
  return {
    number: (name, row) => numberAt(columns.get(name), row),
    text: (name, row) => textAt(columns.get(name), row),
  };
}

function columnsOf(condition: Condition): string[] {
  return "differsFrom" in condition
    ? [condition.column, condition.differsFrom]
    : [condition.column];
}

/** A cell as it may be shown: a number within limits, or a code of the dictionary. */
function shownCell(name: string, row: number, { number, text }: Cells): string | null {
  const value = number(name, row);
  if (!Number.isNaN(value)) return shownNumber(value);
  const code = text(name, row);
  return code === "" ? null : code;
}
