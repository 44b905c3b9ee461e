import { checkLength, DataError, type Numbers } from "../../numerics/mod.ts";

/** Checks a column of risks, each strictly between 0 and 1. @throws {DataError} */
export function riskColumn(name: string, values: Numbers, length?: number): Float64Array {
  checkLength(name, values, length);
  const column = values instanceof Float64Array ? values : Float64Array.from(values);
  for (let i = 0; i < column.length; i++) {
    const risk = column[i]!;
    if (!(risk > 0 && risk < 1)) throw new DataError(name, "strictly between 0 and 1", risk, i);
  }
  return column;
}
