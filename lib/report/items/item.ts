import { z } from "zod";
import { DataError } from "../../numerics/mod.ts";
import { type FigureItem, figureSchema } from "./figure.ts";
import { type FindingItem, shownFindingSchema } from "./finding.ts";
import { type NoteItem, noteSchema } from "./note.ts";
import { shownTableSchema, type TableItem } from "./table.ts";

/** Something a cell showed that the report knows how to place. */
export const shownItemSchema = z.discriminatedUnion("kind", [
  figureSchema,
  shownTableSchema,
  shownFindingSchema,
  noteSchema,
]);

/** Something a cell showed that the report knows how to place, as it came out of the notebook. */
export type ShownItem = z.infer<typeof shownItemSchema>;

/** The same as a run keeps it. */
export type ReportItem = FigureItem | TableItem | FindingItem | NoteItem;

/**
 * Holds what a notebook gives against its schema.
 *
 * @param what Put before the argument in the message: `finding`.
 * @throws {DataError} Naming the first field that is wrong, its value and what was expected.
 */
export function checkInput<Schema extends z.ZodType>(
  what: string,
  schema: Schema,
  input: unknown,
): z.output<Schema> {
  const parsed = schema.safeParse(input);
  if (parsed.success) return parsed.data;
  const [issue] = parsed.error.issues;
  const path = issue?.path ?? [];
  const value = path.reduce<unknown>(
    (at, key) => typeof at === "object" && at !== null ? Reflect.get(at, key) : undefined,
    input,
  );
  const argument = path.map((key) => typeof key === "number" ? `[${key}]` : `.${String(key)}`)
    .join("").replace(/^\./, "");
  throw new DataError(`${what} ${argument}`.trim(), issue?.message ?? "another value", value);
}
