import type { DesignedFollowUp } from "../../balance/samples/mod.ts";
import { keptResult } from "../../cohort/kept/mod.ts";

type Column = Float64Array | Int32Array | Uint8Array;

/**
 * What is estimated from follow-up under a design, as an earlier run worked it out or worked out
 * now: see `keptResult`. What is in the data or the options is told to the last field; where
 * anything is of a kind that cannot be told, the estimate is worked out.
 *
 * @param name Says what is estimated.
 * @param options All that it follows from beside the data.
 */
export function keptEstimate<Estimate>(
  data: DesignedFollowUp,
  name: string,
  options: unknown,
  make: () => Estimate,
): Estimate {
  const question = () => {
    const columns: Column[] = [];
    const text = textOf([data, options], columns);
    return text === undefined ? undefined : { name: `${name} ${text}`, columns };
  };
  return keptResult(question, make);
}

/**
 * All that is in a value; undefined where that cannot be told.
 *
 * @param columns Takes the columns in it, in order.
 */
function textOf(value: unknown, columns: Column[]): string | undefined {
  if (
    value instanceof Float64Array || value instanceof Int32Array || value instanceof Uint8Array
  ) {
    columns.push(value);
    return "#";
  }
  if (typeof value === "string") return JSON.stringify(value);
  if (typeof value === "number") return Object.is(value, -0) ? "-0" : `${value}`;
  if (value === null || value === undefined || typeof value === "boolean") return `${value}`;
  if (typeof value !== "object") return undefined;
  const isList = Array.isArray(value);
  if (!isList && Object.getPrototypeOf(value) !== Object.prototype) return undefined;
  const parts = Object.entries(value).map(([key, inner]) => {
    const text = textOf(inner, columns);
    return text === undefined ? undefined : `${JSON.stringify(key)}:${text}`;
  });
  if (parts.includes(undefined)) return undefined;
  return isList ? `[${parts.join(",")}]` : `{${parts.join(",")}}`;
}
