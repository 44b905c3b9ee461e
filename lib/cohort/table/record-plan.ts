import { type DerivedRule, type Mapping, type Unit, whyUnread } from "../../study/mapping/mod.ts";
import {
  codeKey,
  type ColumnReader,
  columnReader,
  type Conversion,
  type Derived,
  deriver,
  factorFrom,
  looksLikeColumnName,
  operationOfPatient,
  sourcesOf,
} from "../cells/mod.ts";
import {
  type DictionaryColumn,
  dictionaryColumn,
  isNumeric,
  tableColumns,
} from "../dictionary/mod.ts";
import { type Finding, report, type Table } from "./table.ts";

/** A column of the dictionary that is worked out from others of the file. */
export interface DerivedColumn {
  rule: DerivedRule;
  reader: ColumnReader;
  /** Places of the columns it reads. */
  places: number[];
  derive: (record: readonly string[]) => Derived;
}

/** What is done with each record of a file. */
export interface RecordPlan {
  /** Columns in the file, whether read or not. */
  width: number;
  /** By position in the file; `null` where the column is not read by itself. */
  readers: (ColumnReader | null)[];
  derived: DerivedColumn[];
}

const mostColumns = 2000;

/**
 * Matches a file's header with the dictionary by the study's mapping, and says what is to be done
 * with each record. What does not match is reported in the table.
 */
export function planRecords(table: Table, names: string[], mapping: Mapping): RecordPlan {
  const nothing: RecordPlan = { width: names.length, readers: names.map(() => null), derived: [] };
  const stop = (finding: Omit<Finding, "severity">) =>
    report(table, null, { line: 1, severity: "structural", ...finding });
  if (names.length > mostColumns) {
    stop({
      rule: "header",
      message: `the first line holds ${names.length} values`,
      remedy: `the first line must hold the column names, at most ${mostColumns}`,
    });
    return nothing;
  }
  const positions = positionsOf(names);
  const decimal = table.format?.decimal ?? ".";
  const rules = mapping.derived[table.name];
  const used = new Set([...rules.flatMap(sourcesOf), operationOfPatient]);
  for (const rule of mapping.derived.visits) {
    if (rule.rule === "days-after-operation" && table.name === "patients") used.add(rule.operation);
  }
  const mapped = new Map(Object.entries(mapping[table.name]));
  const unmet = new Map(mapped);
  const taken = new Set<string>();
  const claim = (name: string): boolean => {
    if (!taken.has(name)) {
      taken.add(name);
      return true;
    }
    stop({
      rule: "column-twice",
      column: name,
      message: "the column is there twice",
      remedy: "keep one of them",
    });
    return false;
  };
  const readers = names.map((raw, position): ColumnReader | null => {
    const theirs = raw.trim();
    // a heading may be there twice, and means the same both times
    const source = mapped.get(theirs);
    unmet.delete(theirs);
    if (whyUnread(source) !== null) return null;
    const stated = typeof source === "object" && "column" in source ? source : undefined;
    const ours = stated?.column ?? (typeof source === "string" ? source : theirs);
    const column = dictionaryColumn(table.name, ours, table.own);
    if (column) {
      return claim(column.name)
        ? columnReader(
          column,
          conversionOf(column, stated ?? {}, decimal, mapping),
        )
        : null;
    }
    // a column that only rules read has no name of its own in the dictionary
    if (used.has(theirs)) return null;
    const shown = looksLikeColumnName(theirs) ? `"${theirs}"` : `number ${position + 1}`;
    stop({
      rule: "unknown-column",
      heading: theirs,
      message: `column ${shown} is not in the dictionary`,
      remedy:
        'leave it out with "ignore" in the study file\'s mapping, map it to a column of the ' +
        'dictionary there, or declare it among the study file\'s own "columns"',
    });
    return null;
  });
  const derived = rules.flatMap((rule): DerivedColumn[] => {
    const column = dictionaryColumn(table.name, rule.column, table.own);
    const absent = sourcesOf(rule).filter((source) => !positions.has(source));
    for (const source of absent) {
      stop({
        rule: "mapping",
        column: rule.column,
        message: `the study file works it out from "${source}", but the file has no such column`,
        remedy: "correct the mapping",
      });
    }
    if (!column || !claim(column.name) || absent.length > 0) return [];
    // what a rule works out is written with a point; what it passes on is as in the file
    const conversion = rule.rule === "first-of"
      ? conversionOf(column, rule, decimal, mapping)
      : conversionOf(column, {}, ".", mapping);
    return [{
      rule,
      reader: columnReader(column, conversion),
      places: sourcesOf(rule).flatMap((source) => positions.get(source) ?? []),
      derive: cellsFor(rule, positions, table, mapping),
    }];
  });
  if (taken.size === 0) return noHeader(table, names.length, nothing);
  for (const [theirs, source] of unmet) {
    if (whyUnread(source) !== null) continue;
    stop({
      rule: "mapping",
      column: typeof source === "string" ? source : "column" in source ? source.column : null,
      message: `the study file maps "${theirs}" to it, but the file has no such column`,
      remedy: "correct the mapping",
    });
  }
  for (const column of tableColumns(table.name, table.own)) {
    if (column.requirement !== "required" || taken.has(column.name)) continue;
    // what an export does not have is blank in its clean copy, where a blank is allowed
    if (table.unread && !column.complete) continue;
    stop({
      rule: "missing-column",
      column: column.name,
      message: `the column is missing (${column.label.toLowerCase()})`,
      remedy: "add it, or map the column that holds it; its values may be blank unless they " +
        "identify, group or time a patient",
    });
  }
  return { width: names.length, readers, derived };
}

function positionsOf(names: string[]): Map<string, number> {
  const positions = new Map<string, number>();
  names.forEach((name, position) => {
    if (!positions.has(name.trim())) positions.set(name.trim(), position);
  });
  return positions;
}

/** What the study file states of a column, whichever way it fills it. */
interface Stated {
  unit?: Unit;
  codes?: Record<string, string | number>;
  missing?: (string | number)[];
}

function conversionOf(
  column: DictionaryColumn,
  stated: Stated,
  decimal: "." | ",",
  mapping: Mapping,
): Conversion {
  const { unit, codes = {}, missing = [] } = stated;
  const meant = new Map(
    Object.entries(codes).map(([theirs, ours]) => [codeKey(theirs), String(ours)]),
  );
  // what a code list names is no missing value, nor is a code of the dictionary's own, such as
  // "unknown", unless it is said of this very column
  const anywhere = missingKeys(mapping.missing).difference(ownKeys(column));
  return {
    decimal,
    factor: unit ? factorFrom(unit, column) ?? 1 : 1,
    codes: meant,
    missing: anywhere.union(missingKeys(missing)).difference(new Set(meant.keys())),
  };
}

/** Codes of the dictionary's own, as they are compared; of numbers none. */
function ownKeys(column: DictionaryColumn): Set<string> {
  return missingKeys(isNumeric(column) ? [] : column.categories?.map(({ code }) => code) ?? []);
}

function cellsFor(
  rule: DerivedRule,
  positions: ReadonlyMap<string, number>,
  table: Table,
  mapping: Mapping,
): DerivedColumn["derive"] {
  const column = dictionaryColumn(table.name, rule.column, table.own);
  const several = column?.type === "set";
  const derive = deriver(rule, table.format?.decimal ?? ".", several);
  // a word for a blank must not keep the next column of a rule from being read
  const own = "missing" in rule ? rule.missing ?? [] : [];
  // what a column passes on, such as "unknown", may be a code of the dictionary's own
  const codes = rule.rule === "first-of" && column ? ownKeys(column) : new Set<string>();
  const missing = missingKeys(mapping.missing).difference(codes).union(missingKeys(own))
    .difference(statedBy(rule));
  let record: readonly string[] = [];
  const cells = (source: string): string => {
    const text = record[positions.get(source) ?? -1]?.trim() ?? "";
    return missing.has(codeKey(text)) ? "" : text;
  };
  return (row) => {
    record = row;
    return derive(cells);
  };
}

/** What a rule states the meaning of: no word for a missing value comes before it. */
function statedBy(rule: DerivedRule): Set<string> {
  if ("yes" in rule) return missingKeys([...rule.yes, ...rule.no]);
  return missingKeys("codes" in rule && rule.codes ? Object.keys(rule.codes) : []);
}

function missingKeys(values: (string | number)[]): Set<string> {
  return new Set(values.map((value) => codeKey(String(value))));
}

/** A first line without one column of the dictionary: one problem in place of dozens. */
function noHeader(table: Table, width: number, nothing: RecordPlan): RecordPlan {
  table.problems.length = 0;
  report(table, null, {
    rule: "header",
    severity: "structural",
    line: 1,
    message: "the first line holds no column name of the dictionary",
    remedy: table.format?.kind === "xlsx"
      ? "the sheet's first line must hold the column names; where the table is in another sheet, " +
        "name it in the study file's files.format"
      : width > 1
      ? "the first line must hold the column names; map those of another centre in the study file"
      : "the first line must hold the column names, separated by commas, semicolons or tabs",
  });
  return nothing;
}
