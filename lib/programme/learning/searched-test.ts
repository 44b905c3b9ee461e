import { distributions, factorSymmetric, numberColumn, solveFactored } from "../../numerics/mod.ts";
import { type LearningColumns, unitMeans } from "./learning-data.ts";
import { type LearningProfile, leftToLearn } from "./profile.ts";

/**
 * That nothing is learnt, allowing for the best of many numbers of cases having been looked for.
 *
 * With z(k) the signed root of the gain at number k, the chance that any |z(k)| exceeds u is at most
 * that of the first, plus those of going beyond u from one number to the next (Worsley 1982). The
 * correlation of neighbours is that of what the learning terms are within surgeons and beside the
 * covariates.
 *
 * @see Worsley (1982) Biometrika 69:297-302; Davies (1987) Biometrika 74:33-43 for the problem.
 */
export function searchedTest(
  { points, variance }: LearningProfile,
  columns: LearningColumns,
): { statistic: number; pValue: number } {
  const statistic = points.reduce((most, { gain }) => Math.max(most, gain), 0);
  const u = Math.sqrt(statistic);
  const cases = points.map((one) => one.cases);
  const crossings = neighbourCorrelations(columns, cases, variance)
    .reduce((sum, correlation) => sum + chanceOfCrossing(u, correlation), 0);
  return { statistic, pValue: Math.min(1, distributions.normalTwoSided(u) + crossings) };
}

/** Of the efficient scores of each learning term and the next. */
function neighbourCorrelations(
  { experience, unit, covariates }: LearningColumns,
  cases: readonly number[],
  variance: Float64Array,
): number[] {
  const mass = unitMeans(variance, unit);
  /** Less the unit's mean, each row by its variance. */
  const within = (column: Float64Array) => {
    const means = unitMeans(column.map((x, i) => x * variance[i]!), unit);
    return column.map((x, i) => x - means[i]! / mass[i]!);
  };
  const product = (a: Float64Array, b: Float64Array) =>
    a.reduce((sum, x, i) => sum + x * b[i]! * variance[i]!, 0);
  const beside = Object.entries(covariates)
    .map(([name, column]) => within(numberColumn(`covariates.${name}`, column)));
  const p = beside.length;
  const gram = Float64Array.from(
    { length: p * p },
    (_, k) => product(beside[Math.floor(k / p)]!, beside[k % p]!),
  );
  const factor = factorSymmetric(gram, p, 1e-10);
  const terms = cases.map((number) => {
    const own = within(leftToLearn(experience, number));
    const coefficients = solveFactored(
      factor,
      Float64Array.from(beside, (column) => product(own, column)),
    );
    return own.map((x, i) =>
      x - beside.reduce((sum, column, j) => sum + coefficients[j]! * column[i]!, 0)
    );
  });
  const length = terms.map((term) => Math.sqrt(product(term, term)));
  return terms.slice(1).map((term, k) => {
    const both = length[k]! * length[k + 1]!;
    return both > 0 ? Math.min(1, product(terms[k]!, term) / both) : 0;
  });
}

/** Chance that of two standard normals the first is within -u to u and the second is not. */
function chanceOfCrossing(u: number, correlation: number): number {
  const rest = Math.sqrt(1 - correlation ** 2);
  if (rest < 1e-7) return 0;
  const reach = correlation > 0.1 ? Math.min(10, (u + 9 * rest) / correlation - u) : 10;
  const parts = 200;
  let sum = 0;
  for (let k = 0; k <= parts; k++) {
    const y = u + reach * k / parts;
    const inside = distributions.normalUpper((-u - correlation * y) / rest) -
      distributions.normalUpper((u - correlation * y) / rest);
    const simpson = k === 0 || k === parts ? 1 : k % 2 === 1 ? 4 : 2;
    sum += simpson * Math.exp(-y * y / 2) * inside;
  }
  return 2 * sum * reach / parts / 3 / Math.sqrt(2 * Math.PI);
}
