import { type ProblemLine, ProblemsError, type Study } from "../../study/mod.ts";
import { checkMapping } from "./mapping.ts";
import { dictionaryColumn, isConfounder, isNumeric } from "../dictionary/mod.ts";

/**
 * Checks a study's plan against the dictionary: columns that exist, forms that fit, and nothing
 * after time zero where it would bias the comparison.
 *
 * @throws {ProblemsError} listing everything wrong.
 */
export function checkPlan(study: Study): void {
  const problems: ProblemLine[] = [];
  const add = (where: string, what: string) => problems.push({ where, what });
  checkMapping(study, add);
  study.eligibility.forEach((rule, i) => checkRule(rule, `eligibility[${i}]`, add));
  study.adjustment.covariates.forEach((covariate, i) =>
    checkCovariate(covariate, `adjustment.covariates[${i}]`, add)
  );
  study.matching.alike.forEach((name, i) => checkBefore(name, `matching.alike[${i}]`, add));
  study.thresholds.forEach((threshold, i) => {
    const where = `thresholds[${i}].column`;
    const column = checkBefore(threshold.column, where, add);
    if (column && !isNumeric(column)) add(where, `"${threshold.column}" has codes, not numbers`);
  });
  study.horizons.forEach((horizon, i) => {
    if (horizon > 40) add(`horizons[${i}]`, `years, got ${horizon}`);
  });
  if (problems.length) throw new ProblemsError("use the study file", problems);
}

type Add = (where: string, what: string) => void;

function checkRule(rule: Study["eligibility"][number], where: string, add: Add): void {
  const column = dictionaryColumn("patients", rule.column);
  if (!column) return add(`${where}.column`, `"${rule.column}" is no column of the dictionary`);
  if (column.stage === "post-operative") {
    add(
      `${where}.column`,
      `"${rule.column}" is known only after time zero: choosing patients by it biases survival`,
    );
  }
  const { oneOf, below, above } = rule.exclude;
  if (!isNumeric(column) && (below !== undefined || above !== undefined)) {
    add(`${where}.exclude`, `"${rule.column}" has codes: use oneOf`);
  }
  for (const value of oneOf ?? []) {
    if (isNumeric(column) !== (typeof value === "number")) {
      add(
        `${where}.exclude.oneOf`,
        `${isNumeric(column) ? "numbers" : "codes"}, got ${shown(value)}`,
      );
    } else if (column.categories && !isNumeric(column)) {
      checkCode(column.name, value, `${where}.exclude.oneOf`, add);
    }
  }
}

function checkCovariate(
  covariate: Study["adjustment"]["covariates"][number],
  where: string,
  add: Add,
): void {
  const column = checkBefore(covariate.column, `${where}.column`, add);
  if (!column) return;
  if (covariate.form === "category") {
    if (covariate.reference !== undefined) {
      checkCode(column.name, covariate.reference, `${where}.reference`, add);
    }
    return;
  }
  if (!isNumeric(column)) {
    add(`${where}.form`, `"${column.name}" has codes: use "category"`);
  } else if (covariate.form === "spline" && column.hard) {
    const { min, max } = column.hard;
    if (covariate.knots.some((knot) => knot < min || knot > max)) {
      add(`${where}.knots`, `between ${min} and ${max}, the range of "${column.name}"`);
    }
  }
}

/** A column known before the operation: what comes after may be an effect of the choice. */
function checkBefore(name: string, where: string, add: Add) {
  const column = dictionaryColumn("patients", name);
  if (!column) {
    add(where, `"${name}" is no column of the dictionary`);
  } else if (!isConfounder(column)) {
    const why = column.type === "identifier" ? "identifies a patient" : `is ${column.stage}`;
    add(where, `must be known before the operation; "${name}" ${why}`);
    return undefined;
  }
  return column;
}

function checkCode(name: string, value: string | number, where: string, add: Add): void {
  const codes = dictionaryColumn("patients", name)?.categories?.map((category) => category.code);
  if (codes && !codes.includes(String(value))) {
    add(where, `one of ${codes.join(", ")}, got ${shown(value)}`);
  }
}

function shown(value: string | number): string {
  return typeof value === "number" ? String(value) : JSON.stringify(value);
}
