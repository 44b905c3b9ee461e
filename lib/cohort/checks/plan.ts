import { type ProblemLine, ProblemsError } from "../../study/problems/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { checkMapping } from "./mapping.ts";
import { dictionaryColumn, isConfounder, isNumeric } from "../dictionary/mod.ts";
import { type Add, checkCode, checkRules, type Known, shown } from "./rules.ts";
import { checkOwnColumns, checkOwnEndpoints } from "./own.ts";

/**
 * Checks a study's plan against the dictionary: columns that exist, forms that fit, and nothing
 * after time zero where it would bias the comparison.
 *
 * @throws {ProblemsError} listing everything wrong.
 */
export function checkPlan(study: Study): void {
  const problems: ProblemLine[] = [];
  const add = (where: string, what: string) => problems.push({ where, what });
  const known: Known = (name) => dictionaryColumn("patients", name, study.columns);
  checkMapping(study, add);
  checkOwnColumns(study, add);
  study.eligibility.forEach((rule, i) => checkEligibility(rule, `eligibility[${i}]`, known, add));
  checkRules(study, known, add);
  checkOwnEndpoints(study, known, add);
  study.adjustment.covariates.forEach((covariate, i) =>
    checkCovariate(covariate, `adjustment.covariates[${i}]`, known, add)
  );
  study.comparisons.forEach(({ covariates = [] }, i) =>
    covariates.forEach((covariate, k) =>
      checkCovariate(covariate, `comparisons[${i}].covariates[${k}]`, known, add)
    )
  );
  study.matching.alike.forEach((name, i) => checkBefore(name, `matching.alike[${i}]`, known, add));
  study.thresholds.forEach((threshold, i) => {
    const where = `thresholds[${i}].column`;
    const column = checkBefore(threshold.column, where, known, add);
    if (column && !isNumeric(column)) add(where, `"${threshold.column}" has codes, not numbers`);
  });
  study.horizons.forEach((horizon, i) => {
    if (horizon > 40) add(`horizons[${i}]`, `years, got ${horizon}`);
  });
  if (problems.length) throw new ProblemsError("use the study file", problems);
}

function checkEligibility(
  rule: Study["eligibility"][number],
  where: string,
  known: Known,
  add: Add,
): void {
  const column = known(rule.column);
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
      checkCode(column, value, `${where}.exclude.oneOf`, add);
    }
  }
}

function checkCovariate(
  covariate: Study["adjustment"]["covariates"][number],
  where: string,
  known: Known,
  add: Add,
): void {
  const column = checkBefore(covariate.column, `${where}.column`, known, add);
  if (!column) return;
  if (covariate.form === "category") {
    if (covariate.reference !== undefined) {
      checkCode(column, covariate.reference, `${where}.reference`, add);
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
function checkBefore(name: string, where: string, known: Known, add: Add) {
  const column = known(name);
  if (!column) {
    add(where, `"${name}" is no column of the dictionary`);
  } else if (!isConfounder(column)) {
    const why = column.type === "identifier" ? "identifies a patient" : `is ${column.stage}`;
    add(where, `must be known before the operation; "${name}" ${why}`);
    return undefined;
  }
  return column;
}
