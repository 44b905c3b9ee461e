import { z } from "zod";

/** Words that a reader sees: never empty. */
export const words = z.string().trim().min(1);

/** A column of the dictionary, or one that the study file declares. */
export const column = z.string()
  .regex(/^[a-z][a-z0-9_]*$/, "a column of the dictionary, such as lvef");

/** An id, which names results and files. */
export const id = z.string()
  .regex(/^[a-z0-9]+([-.][a-z0-9]+)*$/, "an id in lower case, such as death-km");

/** One value of a cell: a number, or a code. */
export const cell = z.union([z.string(), z.number()]);
