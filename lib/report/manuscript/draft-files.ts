import type { KeptFiles } from "../kept/mod.ts";
import { printTree } from "../markup/mod.ts";
import { writeKept, type WrittenDocument, type WrittenTables } from "../word-file/mod.ts";
import { drawPictures } from "../pictures/mod.ts";
import type { Draft } from "./draft.ts";
import { drawingFor } from "./drawing-for.ts";

/** Contents by path within the report's folder. */
type DraftFiles = Map<string, string | Uint8Array<ArrayBuffer>>;

/** Makes a draft into a Word document. */
export interface DraftWriter {
  /** @param ready Pictures of its figures, by their ids, and tables of an earlier document. */
  manuscript(
    draft: Draft,
    ready: { pictures: ReadonlyMap<string, Uint8Array<ArrayBuffer>>; tables: WrittenTables },
  ): Promise<WrittenDocument>;
}

/** Where pictures and documents are looked for first, and who makes them. */
export interface DraftOptions {
  kept: KeptFiles;
  word: DraftWriter;
  /** With 1 pictures are drawn in a worker, beside what goes on here; with 0 here. */
  workers: 0 | 1;
}

/**
 * The files of a draft: the text in Word with the figures in it, and the figures as drawings.
 *
 * @returns What finishes them, once the pictures that are to be drawn have been asked for.
 */
export async function beginDraft(
  draft: Draft,
  { kept, workers, word }: DraftOptions,
): Promise<() => Promise<DraftFiles>> {
  const path = "manuscript/manuscript.docx";
  const docx = await kept.find(path, draft);
  const drawings = new Map<string, string>();
  for (const { id, svg } of draft.figures) {
    const drawing = drawingFor(svg, 85);
    if (drawing) drawings.set(id, printTree(drawing)); // of one that is none the report says so
  }
  const finishPictures = docx ? undefined : await beginPictures(drawings, { kept, workers });
  const write = async (tables: WrittenTables) =>
    await word.manuscript(draft, { pictures: await finishPictures?.() ?? new Map(), tables });
  const made = docx ? Promise.resolve(docx) : writeKept(path, draft, { kept, write });
  made.catch(() => {}); // it is awaited in the end, and raised there
  return async () => {
    const files: DraftFiles = new Map();
    for (const [index, { id, svg, wide }] of draft.figures.entries()) {
      const drawing = drawings.get(id);
      if (drawing === undefined) continue;
      const stem = `manuscript/figure-${index + 1}`;
      const broad = drawingFor(wide ?? svg, 180);
      files.set(`${stem}-1-column.svg`, drawing);
      files.set(`${stem}-2-columns.svg`, broad ? printTree(broad) : drawing);
    }
    return files.set(path, await made);
  };
}

const size = { width: 160, dpi: 200 };

/** Asks for pictures that were not kept; what it gives waits for them. */
async function beginPictures(
  drawings: ReadonlyMap<string, string>,
  { kept, workers }: Pick<DraftOptions, "kept" | "workers">,
): Promise<() => Promise<Map<string, Uint8Array<ArrayBuffer>>>> {
  const nameOf = (id: string) => `picture ${id}`;
  const pictures = new Map<string, Uint8Array<ArrayBuffer>>();
  const missing: [string, string][] = [];
  for (const [id, svg] of drawings) {
    const picture = await kept.find(nameOf(id), { svg, size });
    if (picture) pictures.set(id, picture);
    else missing.push([id, svg]);
  }
  const drawn = async () => {
    if (missing.length === 0) return pictures;
    const made = await drawPictures(
      { drawings: missing.map(([, svg]) => svg), size },
      workers,
    );
    for (const [index, [id, svg]] of missing.entries()) {
      const picture = made[index]!;
      pictures.set(id, picture);
      await kept.keep(nameOf(id), { svg, size }, picture);
    }
    return pictures;
  };
  const begun = drawn();
  begun.catch(() => {}); // it is awaited in the end, and raised there
  return () => begun;
}
