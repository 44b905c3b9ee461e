import { inWorkers } from "../../numerics/mod.ts";
import { type PictureSize, pngDrawer } from "./png-drawer.ts";

/** Pictures of one size. */
export interface Pictures {
  drawings: readonly string[];
  size: PictureSize;
}

/**
 * Drawings as PNG, in their order.
 *
 * @param workers With 1 they are drawn in a worker, beside what goes on here; with 0 here.
 */
export async function drawPictures(
  pictures: Pictures,
  workers: 0 | 1,
): Promise<Uint8Array<ArrayBuffer>[]> {
  if (workers === 0) return drawnAll(pictures, await pngDrawer());
  const drawn: Uint8Array<ArrayBuffer>[] = [];
  await inWorkers<null, Pictures, Uint8Array<ArrayBuffer>[]>({
    worker: new URL("./picture-worker.ts", import.meta.url),
    what: "draw the figures of the manuscript",
    setup: null,
    // all at once: who asks for them is busy, and would let the worker wait after each
    tasks: [pictures],
    workers,
  }, (_, all) => drawn.push(...all));
  return drawn;
}

/** The same with what draws them at hand. */
export function drawnAll(
  { drawings, size }: Pictures,
  draw: Awaited<ReturnType<typeof pngDrawer>>,
): Uint8Array<ArrayBuffer>[] {
  return drawings.map((drawing) => draw(drawing, size));
}
