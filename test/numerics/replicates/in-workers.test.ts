import { deepEqual } from "node:assert/strict";
import { inWorkers } from "../../../lib/numerics/mod.ts";

const nowhere = new URL("file:///no-such-worker.ts");

Deno.test("inWorkers() does little work here, each task that is needed once", async () => {
  const kept: [number, number][] = [];
  await inWorkers<null, number, number>({
    worker: nowhere,
    what: "square",
    setup: null,
    tasks: [3, 4, 5, 6],
    workers: 2,
    isNeeded: (place) => place !== 2,
    here: (value) => value * value,
  }, (place, result) => kept.push([place, result]));
  deepEqual(kept, [[0, 9], [1, 16], [3, 36]]);
});
