import { DataError } from "../../numerics/mod.ts";
import { displayHook, type MediaBundle } from "./display.ts";

/** A sentence with numbers in it that reads as prose, in the report as in a notebook. */
export interface Remark {
  /** What is said, one or more sentences. */
  text: string;
  /** What a Jupyter client shows of it. */
  [displayHook](): MediaBundle;
}

/**
 * Shows a sentence that was worked out, as prose and not as code.
 *
 * The text is Markdown, as in the cells around it.
 *
 * @example
 * ```ts
 * import { say } from "mitral";
 * const pairs = [[0, 2], [1, 3]];
 * say(`${pairs.length} pairs were matched.`);
 * ```
 * @throws {DataError} on an empty text.
 */
export function say(text: string): Remark {
  if (text.trim() === "") throw new DataError("text", "a sentence", text);
  return {
    text,
    [displayHook]: () => ({ "text/plain": text, "text/markdown": text }),
  };
}
