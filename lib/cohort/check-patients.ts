import type { Study } from "../study/mod.ts";
import { type Condition, dictionary, dictionaryColumn } from "./dictionary.ts";
import { conditionHolds } from "./applies.ts";
import { numberAt, publishedColumn, textAt } from "./held-columns.ts";
import { type PseudonymIndex, pseudonymIndex } from "./pseudonym-index.ts";
import { lookLikeNames } from "./suspicion.ts";
import { type Finding, report, type Table } from "./table.ts";
import type { Column } from "./types.ts";

type Cells = {
  number: (name: string, row: number) => number;
  text: (name: string, row: number) => string;
};

interface Rule extends Pick<Finding, "rule" | "severity" | "message" | "remedy"> {
  /** The column the problem is listed under. */
  column: string;
  /** Whether a row breaks the rule. A missing value breaks none: comparisons with NaN are false. */
  broken: (row: number, cells: Cells) => boolean;
}

const onlyWith = (column: string, other: string, value: string): Rule => ({
  rule: `only-with-${other}`,
  severity: "error",
  column,
  message: `is filled although ${other} is not ${value}`,
  remedy: `correct ${other}, or leave it blank`,
  broken: (row, { number, text }) =>
    isFilled(column, row, { number, text }) && valueOf(other, row, { number, text }) !== value &&
    valueOf(other, row, { number, text }) !== "",
});

const rules: Rule[] = [
  {
    rule: "clamp-in-bypass",
    severity: "error",
    column: "clamp",
    message: "is longer than the bypass time",
    remedy: "correct clamp or cpb",
    broken: (row, { number }) => number("clamp", row) > number("cpb", row),
  },
  {
    rule: "systole-below-diastole",
    severity: "error",
    column: "lvesd",
    message: "is not below the end-diastolic diameter",
    remedy: "correct lvesd or lvedd",
    broken: (row, { number }) => number("lvesd", row) >= number("lvedd", row),
  },
  onlyWith("ring_mm", "final", "repair"),
  {
    ...onlyWith("ring_type", "final", "repair"),
    broken: (row, { text }) =>
      text("ring_type", row) !== "" && text("ring_type", row) !== "none" &&
      text("final", row) === "replacement",
  },
  {
    rule: "ring-size-without-ring",
    severity: "error",
    column: "ring_mm",
    message: "is filled although there is no ring",
    remedy: "correct ring_type, or leave it blank",
    broken: (row, { number, text }) =>
      number("ring_mm", row) > 0 && text("ring_type", row) === "none",
  },
  onlyWith("prosthesis", "final", "replacement"),
  onlyWith("chordal_sparing", "final", "replacement"),
  {
    rule: "conversion-reason",
    severity: "error",
    column: "convert_reason",
    message: "is filled although intended and final procedure are the same",
    remedy: "correct intended or final, or leave it blank",
    broken: (row, { text }) =>
      text("convert_reason", row) !== "" && text("intended", row) === text("final", row),
  },
  {
    rule: "conversion-reason-missing",
    severity: "warning",
    column: "convert_reason",
    message: "is blank although intended and final procedure differ",
    remedy: "add the reason; the patient is counted as converted, reason not recorded",
    broken: (row, { text }) =>
      text("convert_reason", row) === "" && text("intended", row) !== "" &&
      text("final", row) !== "" && text("intended", row) !== text("final", row),
  },
  {
    rule: "stay-in-follow-up",
    severity: "error",
    column: "los",
    message: "is longer than the follow-up",
    remedy: "correct los or fu_days",
    broken: (row, { number }) => number("los", row) > number("fu_days", row),
  },
  {
    rule: "no-follow-up",
    severity: "error",
    column: "fu_days",
    message: "is 0 although the patient did not die in theatre",
    remedy: "correct fu_days or dead; who is lost on leaving was followed to the last day seen",
    broken: (row, { number }) => number("fu_days", row) === 0 && number("dead", row) !== 1,
  },
  onlyWith("death_cause", "dead", "1"),
  onlyWith("reint_day", "reint", "1"),
  onlyWith("reint_reason", "reint", "1"),
  {
    rule: "reintervention-in-follow-up",
    severity: "error",
    column: "reint_day",
    message: "is after the end of follow-up",
    remedy: "correct reint_day or fu_days",
    broken: (row, { number }) => number("reint_day", row) > number("fu_days", row),
  },
  {
    rule: "ischaemic-without-coronary-disease",
    severity: "warning",
    column: "aetiology",
    message: "is ischaemic without previous infarction or coronary disease",
    remedy: "check aetiology, prior_mi and cad_vessels",
    broken: (row, { number, text }) =>
      text("aetiology", row) === "ischaemic" && number("prior_mi", row) === 0 &&
      number("cad_vessels", row) === 0,
  },
  {
    rule: "endocarditis",
    severity: "warning",
    column: "ie_active",
    message: "does not agree with the aetiology",
    remedy: "check aetiology and ie_active",
    broken: (row, { number, text }) =>
      text("aetiology", row) !== "" && !Number.isNaN(number("ie_active", row)) &&
      (text("aetiology", row) === "endocarditis") !== (number("ie_active", row) === 1),
  },
  {
    rule: "mechanism",
    severity: "warning",
    column: "aetiology",
    message: "is degenerative with tethering above 10 mm, or secondary with a prolapsing leaflet",
    remedy: "check aetiology, tether and leaflet",
    broken: (row, { number, text }) =>
      text("aetiology", row) === "degenerative"
        ? number("tether", row) > 10
        : ["ischaemic", "functional_nonischaemic"].includes(text("aetiology", row)) &&
          text("leaflet", row) !== "",
  },
  {
    rule: "phase",
    severity: "warning",
    column: "ipmd_phase",
    message: "is blank although the interpapillary distance is given",
    remedy: "add the phase: the distance means little without it",
    broken: (row, { number, text }) => number("ipmd", row) > 0 && text("ipmd_phase", row) === "",
  },
];

/**
 * Checks each patient's row against the rules that compare its cells, and the rows together.
 *
 * @returns Where each pseudonym is.
 */
export function checkPatients(table: Table, study: Study): PseudonymIndex {
  const cells = cellsOf(table);
  for (const rule of rules) {
    if (!table.columns.has(rule.column)) continue;
    const { broken, ...finding } = rule;
    for (let row = 0; row < table.n; row++) {
      if (broken(row, cells)) report(table, row, finding);
    }
  }
  for (let row = 0; row < table.n; row++) {
    if (cells.number("op_year", row) <= study.timeZero.closingYear) continue;
    if (Number.isNaN(cells.number("op_year", row))) continue;
    report(table, row, {
      rule: "closing-year",
      column: "op_year",
      severity: "error",
      message: `is after ${study.timeZero.closingYear}, when the study closed`,
      remedy: "correct it, or timeZero.closingYear in the study file",
    });
  }
  const patients = checkPseudonyms(table);
  checkSeries(table, cells);
  checkConditionalColumns(table);
  return patients;
}

function checkPseudonyms(table: Table): PseudonymIndex {
  const ids = table.columns.get("id");
  const pseudonyms = Array.isArray(ids) ? ids : [];
  if (lookLikeNames(pseudonyms)) {
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
      message: `has the pseudonym of line ${table.lines[first]}`,
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
      severity: "error",
      message: `has the place in the series of line ${table.lines[other]}`,
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

function isFilled(name: string, row: number, cells: Cells): boolean {
  return cells.text(name, row) !== "" || !Number.isNaN(cells.number(name, row));
}

function valueOf(name: string, row: number, cells: Cells): string {
  const number = cells.number(name, row);
  return Number.isNaN(number) ? cells.text(name, row) : String(number);
}
