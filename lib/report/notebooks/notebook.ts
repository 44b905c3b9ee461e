import { messageOf } from "../../study/command-line/mod.ts";
import { z } from "zod";

const text = z.union([z.string(), z.array(z.string())]).transform((source) =>
  typeof source === "string" ? source : source.join("")
);

const metadata = z.record(z.string(), z.unknown());

const cellSchema = z.discriminatedUnion("cell_type", [
  z.object({
    cell_type: z.literal("code"),
    id: z.string().min(1),
    metadata,
    source: text,
    outputs: z.array(z.unknown()),
    execution_count: z.number().int().nullable(),
  }),
  z.object({ cell_type: z.literal("markdown"), id: z.string().min(1), metadata, source: text }),
  z.object({ cell_type: z.literal("raw"), id: z.string().min(1), metadata, source: text }),
]);

const notebookSchema = z.object({
  nbformat: z.literal(4, "must be 4"),
  nbformat_minor: z.number().int().min(5, "must be 5 or more, for cells have ids from then on"),
  metadata,
  cells: z.array(cellSchema).min(1, "must hold at least one cell"),
});

/** A cell of a notebook file, its source as one string. */
export type NotebookCell = z.output<typeof cellSchema>;

/** A notebook file, read and checked. */
export interface Notebook {
  /** File name without its ending, such as `03-survival`. */
  id: string;
  /** Folder it was read from, as a URL ending in a slash: what its relative imports start from. */
  folder: string;
  /** Its first heading, without which its id. */
  title: string;
  metadata: Record<string, unknown>;
  minor: number;
  cells: NotebookCell[];
}

/** A notebook that cannot be read, parsed, checked or run, and where. */
export interface NotebookFailure {
  notebook: string;
  /** Counting every code cell from 1, as the execution count of a notebook client does. */
  cell?: number;
  /** Line within that cell, from 1. */
  line?: number;
  /** What kind of failure. */
  stage: "reading" | "syntax" | "types" | "running";
  message: string;
}

/**
 * Reads and checks a notebook's JSON (nbformat 4.5).
 *
 * @param id File name without its ending.
 * @throws {Error} Naming the notebook and every place that is wrong.
 */
export function parseNotebook(
  json: string,
  { id, folder }: { id: string; folder: string },
): Notebook {
  let raw: unknown;
  try {
    raw = JSON.parse(json);
  } catch (error) {
    throw new Error(`Cannot read notebook ${id}: it is not JSON (${messageOf(error)})`);
  }
  const parsed = notebookSchema.safeParse(raw);
  if (!parsed.success) {
    const places = parsed.error.issues.map((issue) =>
      `${issue.path.join(".") || "the file"}: ${issue.message}`
    );
    throw new Error(`Cannot read notebook ${id}: ${places.join("; ")}`);
  }
  const { cells, metadata, nbformat_minor } = parsed.data;
  return { id, folder, title: titleOf(cells) ?? id, metadata, minor: nbformat_minor, cells };
}

/** The code of each code cell, in order. */
export function codeOf({ cells }: Pick<Notebook, "cells">): string[] {
  return cells.filter(({ cell_type }) => cell_type === "code").map(({ source }) => source);
}

/** A failure as one line: message, notebook, cell and line. */
export function describeFailure(failure: NotebookFailure): string {
  return `${placeOf(failure)}: ${failure.message}`;
}

/** Every failure in words, those with one message together: a file that none can read is one. */
export function describeFailures(failures: readonly NotebookFailure[]): string[] {
  const places = new Map<string, string[]>();
  for (const failure of failures) {
    const found = places.get(failure.message) ?? [];
    found.push(placeOf(failure));
    places.set(failure.message, found);
  }
  return [...places].map(([message, found]) => `${found.join("; ")}: ${message}`);
}

function placeOf({ notebook, cell, line }: NotebookFailure): string {
  return notebook + (cell === undefined ? "" : `, cell ${cell}`) +
    (line === undefined ? "" : `, line ${line}`);
}

/** Deno's words on a missing permission end in advice that does not apply to a notebook. */
export function withoutAdvice(message: string): string {
  return message.replace(
    /, run again with the --[a-z-]+ flag$/,
    ", which a notebook run by the report does not have",
  );
}

function titleOf(cells: readonly NotebookCell[]): string | undefined {
  for (const cell of cells) {
    if (cell.cell_type !== "markdown") continue;
    const heading = /^#{1,6}\s+(.+?)\s*#*$/m.exec(cell.source);
    if (heading) return heading[1];
  }
  return undefined;
}
