import { z } from "zod";
import { design, id, words } from "./fields.ts";

/** A drawing with the words that belong to it, as it leaves a notebook. */
export const figureSchema = z.object({
  kind: z.literal("figure"),
  id,
  title: words,
  /** What is drawn, of whom, and how to read it. */
  caption: z.string(),
  /** What a reader who cannot see the drawing is told. */
  alt: words,
  svg: z.string().min(1),
  /** The same at the width of two columns, where it is to be printed. */
  wide: z.string().min(1).optional(),
  /** The table that holds its numbers. */
  tableId: z.string().optional(),
  /** Which of several answers to one question it draws. */
  version: z.object({ of: id, design }).optional(),
});

/** A figure as the report keeps it. */
export type FigureItem = z.infer<typeof figureSchema>;
