import type { OwnColumn } from "../../study/plan/mod.ts";
import type { ProblemLine } from "../../study/problems/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { codeKey, sourcesOf, unitsFor } from "../cells/mod.ts";
import {
  type DictionaryColumn,
  dictionaryColumn,
  isNumeric,
  type TableName,
} from "../dictionary/mod.ts";

/** What each rule's result is: it must suit the column that it fills. */
const results: Record<string, (column: DictionaryColumn) => boolean> = {
  "days-between": ({ unit }) => unit === "days" || unit === "days from operation",
  "years-between": ({ unit }) => unit === "years",
  "year-of": ({ unit }) => unit === "calendar year",
  "place-by-date": ({ name }) => name === "case_seq",
  "first-of": () => true,
  filled: ({ type }) => type === "binary",
  "any-of": ({ type }) => type === "binary",
  "count-of": ({ type }) => type === "integer",
  "set-of": ({ type }) => type === "set",
  "body-surface": ({ unit }) => unit === "m²",
  "filtration-rate": ({ name }) => name === "egfr",
  "words-of": ({ type }) => type !== "identifier" && type !== "number",
  "number-after": ({ type }) => type === "number" || type === "integer" || type === "ordinal",
  "days-after-operation": ({ name }) => name === "day",
  constant: ({ type }) => type !== "identifier",
};

/**
 * Checks a study's mapping against the dictionary: columns that exist, units that convert, codes
 * that are ours, rules that give what their column holds.
 */
export function checkMapping(study: Study, add: Add): void {
  const { mapping, columns: own } = study;
  for (const table of ["patients", "visits"] as const) {
    for (const [theirs, source] of Object.entries(mapping[table])) {
      const where = `mapping.${table}.${theirs}`;
      if (typeof source === "string") named({ table, own }, source, where, add);
      else if ("column" in source) {
        const column = named({ table, own }, source.column, where, add);
        if (column) checkConversion(column, source, where, add);
      }
    }
    mapping.derived[table].forEach((rule, i) => {
      const where = `mapping.derived.${table}[${i}]`;
      for (const theirs of sourcesOf(rule)) {
        const source = mapping[table][theirs];
        if (typeof source !== "object" || !("ignore" in source) || !source.notIdentifying) continue;
        add(where, `reads "${theirs}", whose identifiers are waived because nothing reads it`);
      }
      const column = named({ table, own }, rule.column, where, add);
      if (!column) return;
      if (!results[rule.rule]?.(column)) {
        add(`${where}.rule`, `"${rule.rule}" does not give what "${column.name}" holds`);
      }
      if (rule.rule === "first-of") checkConversion(column, rule, where, add);
      if (rule.rule === "set-of") checkCodes(column, rule.sources, `${where}.sources`, add);
      if (rule.rule === "words-of") {
        const codes = [...rule.words.map(({ code }) => code), rule.otherwise ?? ""];
        const stated = codes.filter((code) => code !== "");
        checkCodes(column, Object.fromEntries(stated.map((code) => [code, code])), where, add);
      }
      if (rule.rule === "days-after-operation" && (!study.export || table === "patients")) {
        add(
          where,
          "is for the visits of a centre's export, which this study file does not describe",
        );
      }
      if (rule.rule === "constant") {
        checkCodes(column, { value: rule.value }, where, add);
      }
    });
  }
}

type Add = (where: string, what: ProblemLine["what"]) => void;

function named(
  { table, own }: { table: TableName; own: readonly OwnColumn[] },
  ours: string,
  where: string,
  add: Add,
): DictionaryColumn | undefined {
  const column = dictionaryColumn(table, ours, own);
  if (!column) add(where, `"${ours}" is no column of the dictionary's ${table}`);
  return column;
}

function checkConversion(
  column: DictionaryColumn,
  source: { unit?: string; codes?: Record<string, string | number> },
  where: string,
  add: Add,
): void {
  const units: string[] = unitsFor(column);
  if (source.unit !== undefined && !units.includes(source.unit)) {
    add(
      `${where}.unit`,
      units.length > 0
        ? `one of ${units.join(", ")}, got ${JSON.stringify(source.unit)}`
        : `"${column.name}" has no unit that can be converted`,
    );
  }
  if (source.codes) checkCodes(column, source.codes, `${where}.codes`, add);
}

function checkCodes(
  column: DictionaryColumn,
  codes: Record<string, string | number>,
  where: string,
  add: Add,
): void {
  const ours = column.categories?.map(({ code }) => code);
  const seen = new Map<string, string>();
  for (const [theirs, code] of Object.entries(codes)) {
    const target = String(code);
    if (isNumeric(column) && !Number.isFinite(Number(target || NaN))) {
      add(`${where}.${theirs}`, `a number, as "${column.name}" holds, got ${JSON.stringify(code)}`);
    } else if (ours && !ours.includes(target)) {
      add(`${where}.${theirs}`, `one of ${ours.join(", ")}, got ${JSON.stringify(code)}`);
    }
    const before = seen.get(codeKey(theirs));
    if (before !== undefined && before !== target) {
      add(`${where}.${theirs}`, "means two things: case and outer spaces do not tell codes apart");
    }
    seen.set(codeKey(theirs), target);
  }
}
