/**
 * The one error that bad input raises.
 *
 * The message names the argument, the first offending index (0-based, as in the array that was
 * passed), the value found there and what was expected. Values come from numeric columns, codes or
 * options: a whole row is never echoed.
 *
 * @example
 * ```ts ignore
 * import { DataError } from "mitral";
 * throw new DataError("time", "a finite number >= 0", -3, 14);
 * // time[14] must be a finite number >= 0, got -3
 * ```
 */
export class DataError extends Error {
  /** Tells it from other errors. */
  override readonly name = "DataError";

  /** Names the argument, what was expected, the value and the row. */
  constructor(
    /** The argument at fault, as the caller wrote it, such as `time` or `covariates.age`. */
    readonly argument: string,
    /** What would have been right, to be read after "must be". */
    readonly expected: string,
    /** The value found. */
    readonly value?: unknown,
    /** The first offending index, where the argument is a column. */
    readonly index?: number,
  ) {
    const where = index === undefined ? argument : `${argument}[${index}]`;
    super(`${where} must be ${expected}, got ${shown(value)}`);
  }
}

function shown(value: unknown): string {
  if (typeof value === "string") {
    return JSON.stringify(value.length > 60 ? value.slice(0, 57) + "..." : value);
  }
  if (value === undefined) return "nothing";
  if (typeof value === "number" || value === null) return String(value);
  if (typeof value === "boolean" || typeof value === "bigint") return String(value);
  if (Array.isArray(value) || ArrayBuffer.isView(value)) {
    return `an array of length ${(value as ArrayLike<unknown>).length}`;
  }
  return `a ${typeof value}`;
}
