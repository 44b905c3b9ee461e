import assert from "node:assert/strict";
import { inWorkers, WaitingWorker } from "../../../lib/numerics/mod.ts";

/** A worker of the project's own kind, from code that answers one task. */
function workerOf(prepare: string): WaitingWorker<number, number, number> {
  const library = new URL("../../../lib/numerics/mod.ts", import.meta.url);
  const code = `import { answerTasks } from "${library}"; answerTasks(${prepare});`;
  const worker = new URL(URL.createObjectURL(new Blob([code], { type: "text/javascript" })));
  return new WaitingWorker({ worker, what: "work", setup: 10 });
}

Deno.test("a waiting worker answers in the order in which it was asked, before it is ready too", async () => {
  const worker = workerOf(
    "async (setup) => { await new Promise((go) => setTimeout(go, 20)); " +
      "return async (task) => { await new Promise((go) => setTimeout(go, 3 * (3 - task))); " +
      "return setup * task; }; }",
  );
  try {
    // by hand: ten times each
    assert.deepEqual(await Promise.all([1, 2, 0].map((task) => worker.ask(task))), [10, 20, 0]);
    await worker.ready;
    assert.equal(await worker.ask(3), 30);
  } finally {
    worker.end();
  }
});

Deno.test("whoever asks a worker that could not begin, or was ended, hears why", async () => {
  const why = { message: "Cannot work: no luck" };
  const unready = workerOf("() => { throw new Error('no luck'); }");
  try {
    await assert.rejects(unready.ask(1), why);
    await assert.rejects(unready.ready, why);
    await assert.rejects(unready.ask(2), why);
  } finally {
    unready.end();
  }
  const ended = workerOf("() => () => new Promise(() => {})");
  const asked = assert.rejects(ended.ask(1), /ended before it had answered/);
  ended.end();
  await asked;
});

Deno.test("a task that goes wrong, or cannot be told, does not keep a worker from the next", async () => {
  const worker = workerOf(
    "() => (task) => { if (task === 2) throw new Error('no luck'); return task; }",
  );
  try {
    const ends = await Promise.allSettled([1, 2, 3].map((task) => worker.ask(task)));
    assert.deepEqual(ends.map(({ status }) => status), ["fulfilled", "rejected", "fulfilled"]);
    await assert.rejects(worker.ask(2), { message: "Cannot work: no luck" });
    await assert.rejects(worker.ask((() => 1) as never), /clone/);
    assert.equal(await worker.ask(4), 4);
  } finally {
    worker.end();
  }
});

Deno.test("inWorkers() leaves no worker behind that could not be told its setup", async () => {
  const library = new URL("../../../lib/numerics/mod.ts", import.meta.url);
  const code = `import { answerTasks } from "${library}"; answerTasks(() => () => 1);`;
  const worker = new URL(URL.createObjectURL(new Blob([code], { type: "text/javascript" })));
  const setup = () => 1;
  // a worker left behind would be told of by the test's runner
  await assert.rejects(
    inWorkers({ worker, what: "work", setup, tasks: [1], workers: 2 }, () => {}),
    /clone/,
  );
});
