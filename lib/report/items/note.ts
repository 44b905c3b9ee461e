import { z } from "zod";
import { id, words } from "./fields.ts";

/** A sentence for the reader that no table carries. */
export const noteInputSchema = z.object({
  id,
  /**
   * Where it belongs: what a section found, in its heading; how sure the answer is; what the
   * analysis cannot tell; a caution in using it; a departure from the study file's plan; what a
   * computation warned of (raised by it, not written by a cell).
   */
  about: z.enum(["summary", "certainty", "cannot-tell", "caution", "deviation", "warning"]),
  text: words,
});

/** A note as a run keeps it. */
export const noteSchema = z.object({ kind: z.literal("note"), ...noteInputSchema.shape });

/** @internal */
type CheckedNoteInput = z.infer<typeof noteInputSchema>;
/** A sentence for the reader that no table carries. */
export type NoteInput = CheckedNoteInput;
/** A note as the report keeps it. */
export type NoteItem = z.infer<typeof noteSchema>;
