import { deepEqual } from "node:assert/strict";
import { inWorkers, onWarning, raised } from "../../../lib/numerics/mod.ts";

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

Deno.test("inWorkers() without workers does everything here, and warns of it no more than they", async () => {
  const heard: string[] = [];
  const kept: number[] = [];
  onWarning((text) => heard.push(text));
  try {
    await inWorkers<null, number, number>({
      worker: nowhere,
      what: "wait",
      setup: null,
      tasks: [1, 2, 3],
      workers: 0,
      here: (value) => {
        raised([`${value} is small`]);
        return value;
      },
    }, (place) => kept.push(place));
  } finally {
    onWarning(undefined);
  }
  deepEqual([kept, heard], [[0, 1, 2], []]);
});
