/**
 * What runs in a worker of `drawPictures`.
 *
 * @module
 */
import { answerTasks } from "../../numerics/mod.ts";
import { drawnAll, type Pictures } from "./draw-pictures.ts";
import { pngDrawer } from "./png-drawer.ts";

answerTasks<null, Pictures, Uint8Array<ArrayBuffer>[]>(async () => {
  const draw = await pngDrawer();
  return (pictures) => drawnAll(pictures, draw);
});
