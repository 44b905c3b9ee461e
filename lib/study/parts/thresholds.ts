import { z } from "zod";
import { column, id, words } from "./names.ts";

/** A cut-off that defines a subgroup or a warning mark. */
export const thresholdSchema = z.strictObject({
  id,
  column,
  side: z.enum(["above", "at-least", "below", "at-most"]),
  value: z.number(),
  label: words,
  purpose: z.enum(["subgroup", "warning-mark"]),
  source: words.describe("Where the number came from; it must not have been found in these data."),
  foundIn: words.optional().describe(
    "In which patients the source found it, where those are not all who are measured here.",
  ),
});

/**
 * Where a cut-off comes from, in whom it was found, and to whom it is applied here, for a reader.
 *
 * @example
 * ```ts
 * import { thresholdSource } from "mitral";
 * thresholdSource({ source: "Braun 2005", foundIn: "ischaemic regurgitation" });
 * // "Braun 2005, in ischaemic regurgitation; applied here to everybody with the measurement"
 * ```
 */
export function thresholdSource(
  { source, foundIn }: { source: string; foundIn?: string },
): string {
  return foundIn
    ? `${source}, in ${foundIn}; applied here to everybody with the measurement`
    : source;
}
