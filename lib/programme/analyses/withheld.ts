/** What stands in place of a result, in a sentence that a reader sees. */
export interface Withheld {
  /** Why it is not shown, in a sentence. */
  why: string;
}

/** Whether there is no result, and a reason in its place. */
export function isWithheld(result: object): result is Withheld {
  return "why" in result;
}

/** Rows of some columns. */
export function picked(column: ArrayLike<number>, rows: ArrayLike<number>): Float64Array {
  const found = new Float64Array(rows.length);
  for (let k = 0; k < found.length; k++) found[k] = column[rows[k]!]!;
  return found;
}
