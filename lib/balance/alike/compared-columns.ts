import {
  binaryColumn,
  DataError,
  type Moments,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";

/** One covariate in two groups, checked. */
export interface ComparedColumns {
  treated: Uint8Array;
  covariate: Float64Array;
  weight: Float64Array | undefined;
  /** Whether every value is 0 or 1. */
  binary: boolean;
}

/** Checks a covariate, its groups and its weights (0 leaves a row out). @throws {DataError} */
export function comparedColumns(
  data: { treated: Numbers; covariate: Numbers; weight?: Numbers },
): ComparedColumns {
  const treated = binaryColumn("treated", data.treated);
  const n = treated.length;
  const covariate = numberColumn("covariate", data.covariate, { length: n });
  const weight = groupWeights(treated, data.weight);
  return { treated, covariate, weight, binary: isBinary(covariate) };
}

/** Checks that both groups carry weight. @throws {DataError} */
export function groupWeights(treated: Uint8Array, values?: Numbers): Float64Array | undefined {
  const weight = values && numberColumn("weight", values, { length: treated.length, min: 0 });
  for (const code of [1, 0]) {
    let found = false;
    for (let i = 0; i < treated.length && !found; i++) {
      found = treated[i] === code && (!weight || weight[i]! > 0);
    }
    if (!found) {
      const argument = weight ? "weight" : "treated";
      const expected = weight
        ? `above 0 for some row with treated ${code}`
        : `${code} in at least one row`;
      throw new DataError(argument, expected, values ?? treated);
    }
  }
  return weight;
}

/** Whether every value is 0 or 1. */
export function isBinary(column: Float64Array): boolean {
  return column.every((x) => x === 0 || x === 1);
}

/** Variance of one group: p (1 - p) for a 0/1 covariate, else the sample variance. */
export function varianceOf({ mean, variance }: Moments, binary: boolean): number {
  return binary ? mean * (1 - mean) : variance;
}
