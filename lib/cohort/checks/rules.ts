import type { Rule } from "../../study/parts/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { type DictionaryColumn, isNumeric } from "../dictionary/mod.ts";

/** Notes a problem of the plan: where, and what must hold. */
export type Add = (where: string, what: string) => void;

/** Finds a column of the patients table, the study's own among them. */
export type Known = (name: string) => DictionaryColumn | undefined;

/**
 * Checks the rules of populations, of arms and of the two groups against the dictionary.
 *
 * A population, a target of the programme and a difficulty rest on what was known before the
 * operation; an arm also on what was done at it.
 * Neither rests on what came after.
 */
export function checkRules(study: Study, known: Known, add: Add): void {
  study.populations.forEach(({ rule }, i) => {
    if (rule) checkRule(rule, `populations[${i}].rule`, ["pre-operative"], known, add);
  });
  for (const list of ["targets", "difficulties"] as const) {
    study.programme[list].forEach(({ rule }, i) => {
      if (rule) checkRule(rule, `programme.${list}[${i}].rule`, ["pre-operative"], known, add);
    });
  }
  const atOperation = ["pre-operative", "operative"];
  study.comparisons.forEach(({ among, arms }, i) => {
    const where = `comparisons[${i}]`;
    if (among) checkRule(among, `${where}.among`, ["pre-operative"], known, add);
    arms.forEach(({ rule }, k) =>
      checkRule(rule, `${where}.arms[${k}].rule`, atOperation, known, add)
    );
  });
  for (const [group, rule] of Object.entries(study.groups.rules ?? {})) {
    checkRule(rule, `groups.rules.${group}`, atOperation, known, add);
  }
}

function checkRule(rule: Rule, where: string, stages: string[], known: Known, add: Add): void {
  const within = (part: Rule, at: string) => checkRule(part, `${where}.${at}`, stages, known, add);
  if ("all" in rule) return rule.all.forEach((part, i) => within(part, `all[${i}]`));
  if ("any" in rule) return rule.any.forEach((part, i) => within(part, `any[${i}]`));
  if ("not" in rule) return within(rule.not, "not");
  if ("threshold" in rule || "population" in rule) return;
  const column = known(rule.column);
  if (!column) return add(`${where}.column`, `"${rule.column}" is no column of the dictionary`);
  if (column.type === "identifier" || !stages.includes(column.stage)) {
    const why = column.type === "identifier" ? "identifies a patient" : `is ${column.stage}`;
    const when = stages.includes("operative") ? "at the end of" : "before";
    return add(`${where}.column`, `must be known ${when} the operation; "${column.name}" ${why}`);
  }
  if ("missing" in rule) return;
  if (!("oneOf" in rule)) {
    if (!isNumeric(column)) add(where, `"${column.name}" has codes: use oneOf`);
    return;
  }
  for (const value of rule.oneOf) {
    if (isNumeric(column) !== (typeof value === "number")) {
      const wanted = isNumeric(column) ? "numbers" : "codes";
      add(`${where}.oneOf`, `${wanted}, got ${shown(value)}`);
    } else checkCode(column, value, `${where}.oneOf`, add);
  }
}

/** Checks that a value is one of a column's codes, where it has any. */
export function checkCode(
  column: DictionaryColumn,
  value: string | number,
  where: string,
  add: Add,
): void {
  const codes = column.categories?.map(({ code }) => code);
  if (codes && !codes.includes(String(value))) {
    add(where, `one of ${codes.join(", ")}, got ${shown(value)}`);
  }
}

/** A value of the plan as a message shows it. */
export function shown(value: string | number): string {
  return typeof value === "number" ? String(value) : JSON.stringify(value);
}
