import { checkLength, DataError, numberColumn, type Numbers } from "../../numerics/mod.ts";
import { splineBasis, splineKnots } from "../models/mod.ts";

/** How many knots for each measurement (places as `splineKnots`), or where. */
export type KnotChoice = number | Record<string, number[]>;

/** Covariates of a model in which measurements bend. */
export interface SplineColumns {
  knots: Record<string, number[]>;
  /** Named columns: the measurement, `measurement'1`, ... for its bends, and the linear ones. */
  columnsOf(values: Record<string, Numbers>): Record<string, Numbers>;
}

/**
 * Lays out each measurement as a restricted cubic spline, and the others as they are.
 *
 * @throws {DataError} on missing values, lengths that differ, or too few distinct values for knots.
 */
export function splineColumns(
  data: { measurements: Record<string, Numbers>; linear: Record<string, Numbers> },
  n: number,
  asked: KnotChoice,
): SplineColumns {
  const names = Object.keys(data.measurements);
  if (names.length === 0) throw new DataError("measurements", "at least one", "none");
  const knots: Record<string, number[]> = {};
  for (const [name, values] of Object.entries(data.measurements)) {
    checkLength(`measurements.${name}`, values, n);
    const column = numberColumn(`measurements.${name}`, values);
    knots[name] = typeof asked === "number" ? splineKnots(column, asked) : asked[name] ?? [];
  }
  const given = (values: Record<string, Numbers>, name: string) => {
    const column = values[name];
    if (!column) throw new DataError(name, "a column (the model uses it)", "nothing");
    return column;
  };
  return {
    knots,
    columnsOf(values) {
      const columns: Record<string, Numbers> = {};
      for (const name of names) {
        splineBasis(given(values, name), knots[name] ?? []).forEach((column, k) => {
          columns[k === 0 ? name : `${name}'${k}`] = column;
        });
      }
      for (const name of Object.keys(data.linear)) columns[name] = given(values, name);
      return columns;
    },
  };
}
