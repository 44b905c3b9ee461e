import {
  factorSymmetric,
  invertFactored,
  meanOf,
  solveFactored,
  spreadOf,
} from "../../numerics/mod.ts";
import { movesAllHome, ordinalPass, type OrdinalRows } from "./ordinal-kernel.ts";

// Past this linear predictor separation is looked for, as in logistic regression.
const FAR = 14;

/** Centres, scales and drops columns; starts from the shares of the levels. */
export function scaledOrdinal(
  given: Pick<OrdinalRows, "n" | "top" | "level" | "weight">,
  columns: Float64Array[],
): { rows: OrdinalRows; kept: number[]; start: Float64Array } {
  const { n, top, level, weight } = given;
  const shapes = columns.map((column) => {
    const [mean, spread] = [meanOf(column), spreadOf(column)];
    return { mean, spread, varies: spread > 1e-10 * Math.abs(mean) };
  });
  const rowsOf = (use: number[]): OrdinalRows => ({
    ...given,
    columns: use.map((j) => columns[j]!),
    centre: Float64Array.from(use, (j) => shapes[j]!.mean),
    scale: Float64Array.from(use, (j) => 1 / shapes[j]!.spread),
  });
  const totals = new Float64Array(top + 1);
  for (let i = 0; i < n; i++) totals[level[i]!]! += weight ? weight[i]! : 1;
  const startOf = (p: number) => {
    const start = new Float64Array(top + p);
    let above = 0;
    const all = totals.reduce((sum, w) => sum + w, 0);
    for (let k = top; k >= 1; k--) {
      above += totals[k]!;
      start[k - 1] = Math.log(above / (all - above));
    }
    return start;
  };
  const varying = columns.map((_, j) => j).filter((j) => shapes[j]!.varies);
  const rows = rowsOf(varying);
  const { information } = ordinalPass(rows, startOf(varying.length));
  const { dropped } = factorSymmetric(information, top + varying.length);
  const kept = varying.filter((_, a) => !dropped.includes(top + a));
  return {
    rows: kept.length === varying.length ? rows : rowsOf(kept),
    kept,
    start: startOf(kept.length),
  };
}

/** Newton steps up the likelihood, halved where they lower it, until the last one is short. */
export function climbOrdinal(
  rows: OrdinalRows,
  start: Float64Array,
  options: { tolerance: number; maxIterations: number },
) {
  const m = start.length;
  let beta = start;
  let now = ordinalPass(rows, beta);
  let iterations = 0;
  let reason: string | undefined;
  let separated: number[] = [];
  let factor = factorSymmetric(now.information, m, 1e-13);
  for (;;) {
    const step = solveFactored(factor, now.gradient);
    const decrement = step.reduce((sum, s, j) => sum + s * now.gradient[j]!, 0);
    if (now.extreme > FAR && movesAllHome(rows, step, 1e-6)) {
      const largest = step.reduce((most, s) => Math.max(most, Math.abs(s)), 0);
      separated = rows.columns.map((_, a) => a)
        .filter((a) => Math.abs(step[rows.top + a]!) > 1e-4 * largest);
      reason = "the covariates named in separated tell some levels apart without error, so their " +
        "coefficients have no finite estimate";
      break;
    }
    if (decrement <= options.tolerance ** 2) break;
    if (iterations === options.maxIterations) {
      reason = `no convergence in ${iterations} iterations`;
      break;
    }
    iterations++;
    const before = now;
    const from = beta;
    const slack = 1e-13 * Math.abs(before.logLikelihood);
    const near = decrement < 1e-8;
    let risen = false;
    for (let length = 1; length > 1e-12 && !risen; length /= 2) {
      const trial = from.map((value, j) => value + length * step[j]!);
      const there = ordinalPass(rows, trial);
      // so near the top, what a step gains is less than the likelihood's own rounding
      risen = near
        ? there.logLikelihood > -Infinity
        : there.logLikelihood >= before.logLikelihood - slack;
      if (risen) [beta, now] = [trial, there];
    }
    if (!risen) {
      reason = "no step raises the likelihood";
      break;
    }
    factor = factorSymmetric(now.information, m, 1e-13);
  }
  if (reason === undefined && factor.dropped.length > 0) {
    reason = "the information matrix became singular";
  }
  const inverse = invertFactored(factor);
  return { beta, inverse, logLikelihood: now.logLikelihood, iterations, reason, separated };
}
