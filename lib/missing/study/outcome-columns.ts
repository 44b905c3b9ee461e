import { DataError, type Numbers } from "../../numerics/mod.ts";
import { kaplanMeier } from "../../survival/curve/mod.ts";
import type { ChainColumn, DerivedColumn } from "../chain/mod.ts";

/**
 * The outcome as columns that predict missing values: whether the event came, and the Nelson-Aalen
 * cumulative hazard at each row's own time; with a column of the two groups also their products, so
 * that a value may go with the outcome in one group more than in the other.
 *
 * A covariate that is imputed without the outcome looks less related to it than it is. Under a
 * hazard proportional in a normal or yes/no covariate these two columns are, to first order, all
 * that its distribution depends on. Event and hazard are those of the cause named;
 * other causes censor.
 *
 * @param followUp.rows Rows at risk of the endpoint, where that is not everybody; the columns do
 * not apply to others.
 * @param n Rows of the columns to be completed.
 * @throws {DataError} on times or events out of range.
 * @see White & Royston (2009) Stat Med 28:1982-1998; several causes: by cause, common practice, no
 * source.
 */
export function outcomeColumns(
  name: string,
  followUp: { time: Numbers; event: Numbers; rows?: Int32Array },
  n: number,
  options: { cause?: number; group?: string } = {},
): { columns: ChainColumn[]; derived: DerivedColumn[] } {
  const { cause = 1, group } = options;
  const { time, rows } = followUp;
  const count = time.length;
  if (rows ? rows.length !== count : n !== count) {
    throw new DataError(`${name}.time`, `of length ${rows?.length ?? n}`, time);
  }
  const own = Float64Array.from(followUp.event, (code) => code === cause ? 1 : 0);
  const applies = rows ? new Uint8Array(n) : undefined;
  const event = new Float64Array(n).fill(NaN);
  const hazard = new Float64Array(n).fill(NaN);
  const cumulative = cumulativeHazard(time, own);
  for (let k = 0; k < count; k++) {
    const row = rows ? rows[k]! : k;
    if (applies) applies[row] = 1;
    event[row] = own[k]!;
    hazard[row] = cumulative[k]!;
  }
  const columns: ChainColumn[] = [
    { name: `${name}: event`, kind: "binary", values: event, ...(applies ? { applies } : {}) },
    { name: `${name}: hazard`, kind: "number", values: hazard, ...(applies ? { applies } : {}) },
  ];
  const derived = group === undefined ? [] : columns.map((column): DerivedColumn => ({
    name: `${column.name} by group`,
    rule: "product",
    of: [column.name, group],
  }));
  return { columns, derived };
}

/** Nelson-Aalen at each row's own time. */
function cumulativeHazard(time: Numbers, event: Float64Array): Float64Array {
  const { time: times, atRisk, event: events } = kaplanMeier({ time, event });
  const steps = new Float64Array(times.length);
  let sum = 0;
  for (let j = 0; j < times.length; j++) steps[j] = sum += events[j]! / atRisk[j]!;
  return Float64Array.from(time, (own) => {
    let low = 0;
    let high = times.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >>> 1;
      if (times[middle]! <= own) low = middle;
      else high = middle - 1;
    }
    return steps[low]!;
  });
}
