import {
  dot,
  factorSymmetric,
  invertFactored,
  numberColumn,
  quadraticForm,
  solveFactored,
} from "../../numerics/mod.ts";
import { type LearningColumns, unitMeans } from "./learning-data.ts";
import { sumsOfProducts } from "./sums-of-products.ts";

/** What is left to learn: 1 at the first operation, falling in a line to 0 at `cases`. */
export function leftToLearn(experience: Float64Array, cases: number): Float64Array {
  return experience.map((done) => Math.max(0, 1 - done / cases));
}

/** What is left to learn at each number of cases, within surgeons and beside the covariates. */
export interface EfficientTerms {
  columns: Float64Array[];
  /**
   * The same for residuals drawn anew: what was fitted follows the outcomes it was fitted to, so
   * that drawn residuals are too small, in each row by the root of 1 less its leverage (Wu 1986,
   * Ann Stat 14:1261).
   */
  forDrawn: Float64Array[];
  /** Sums of products of each pair of columns, each row by its variance, row-major. */
  gram: Float64Array;
}

/**
 * Learning terms less what surgeons' levels and covariates explain of them, each row weighed by the
 * variance of its outcome: sums of their products with residuals do not go, to first order, with
 * how levels and covariates were fitted.
 */
export function efficientTerms(
  { experience, unit, covariates }: LearningColumns,
  cases: ArrayLike<number>,
  variance: Float64Array,
): EfficientTerms {
  const mass = unitMeans(variance, unit);
  const sizes = unitSizes(unit);
  const within = (column: Float64Array) => {
    const means = unitMeans(column.map((x, i) => x * variance[i]!), unit);
    return column.map((x, i) => x - means[i]! / mass[i]!);
  };
  const beside = Object.entries(covariates)
    .map(([name, column]) => within(numberColumn(`covariates.${name}`, column)));
  const factor = factorSymmetric(sumsOfProducts(beside, variance), beside.length, 1e-10);
  const columns = Array.from(cases, (number) => {
    const own = within(leftToLearn(experience, number));
    const weighed = own.map((x, i) => x * variance[i]!);
    const coefficients = solveFactored(factor, scoresOf(beside, weighed));
    beside.forEach((column, j) => {
      const b = coefficients[j]!;
      for (let i = 0; i < own.length; i++) own[i]! -= b * column[i]!;
    });
    return own;
  });
  const inverse = invertFactored(factor);
  const wider = variance.map((own, i) => {
    const row = beside.map((column) => column[i]!);
    const leverage = own / mass[i]! / sizes[i]! + own * quadraticForm(row, inverse);
    return 1 / Math.sqrt(Math.max(0.5, 1 - leverage));
  });
  const forDrawn = columns.map((column) => column.map((x, i) => x * wider[i]!));
  return { columns, forDrawn, gram: sumsOfProducts(columns, variance) };
}

/** Sums of products of each column with residuals. */
export function scoresOf(
  columns: readonly Float64Array[],
  residuals: Float64Array,
): Float64Array {
  return Float64Array.from(columns, (column) => dot(column, residuals));
}

/** Each row's number of rows of its unit. */
function unitSizes({ codes, labels }: LearningColumns["unit"]): Float64Array {
  const count = new Float64Array(labels.length);
  codes.forEach((code) => count[code]!++);
  return Float64Array.from(codes, (code) => count[code]!);
}
