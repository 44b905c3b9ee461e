/** What stands in place of a result, in a sentence that a reader sees. */
export interface Withheld {
  /** Why it is not shown, in a sentence. */
  why: string;
}

/** Whether there is no result, and a reason in its place. */
export function isWithheld(result: object): result is Withheld {
  return "why" in result;
}
