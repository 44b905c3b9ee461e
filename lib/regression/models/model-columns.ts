import {
  covariateColumns,
  DataError,
  type GroupColumn,
  groupColumn,
  type Labels,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";

/** What a regression takes beside its outcome. */
interface Given {
  covariates: Record<string, Numbers>;
  weight?: Numbers;
  cluster?: Labels;
}

/** The columns of a regression of n rows beside its outcome, checked. @throws {DataError} */
export function modelColumns(n: number, { covariates, weight, cluster }: Given): {
  names: string[];
  columns: Float64Array[];
  weight: Float64Array | undefined;
  cluster: GroupColumn | undefined;
} {
  if (n === 0) throw new DataError("outcome", "at least one row");
  return {
    ...covariateColumns(covariates, n),
    weight: weight && numberColumn("weight", weight, { length: n, above: 0 }),
    cluster: cluster && groupColumn("cluster", cluster, n),
  };
}

/**
 * `start` plus the sum of coefficient times covariate, at other values of a model's covariates.
 *
 * @throws {DataError} where a covariate that the model uses is not there.
 */
export function linearSum(
  start: number,
  terms: readonly { name: string; coefficient: number }[],
  covariates: Record<string, Numbers>,
): Float64Array {
  const length = Object.values(covariates)[0]?.length ?? 0;
  const sum = new Float64Array(length).fill(start);
  for (const { name, coefficient } of terms) {
    const values = covariates[name];
    if (!values) throw new DataError(`covariates.${name}`, "a column (the model uses it)");
    const column = numberColumn(`covariates.${name}`, values, { length });
    for (let i = 0; i < length; i++) sum[i]! += coefficient * column[i]!;
  }
  return sum;
}
