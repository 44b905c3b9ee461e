import assert from "node:assert/strict";
import { join } from "node:path";
import {
  dismiss,
  ownFiles,
  Processes,
  readableOfProject,
} from "../../../lib/report/sandbox/mod.ts";

const none = ownFiles("/nowhere/1");

async function withProcesses(
  test: (processes: Processes) => Promise<void>,
): Promise<void> {
  const folder = await Deno.makeTempDir();
  try {
    const caches = join(folder, "caches");
    const processes = new Processes({ read: readableOfProject, nowhere: folder, caches });
    await test(processes);
    // a process left behind would be told of by the test's runner
    await processes.close();
    await processes.close();
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

Deno.test("a process that was begun early is given to its notebook once, and none is left", async () => {
  await withProcesses(async (processes) => {
    await processes.startEarly("01-a", none);
    await processes.startEarly("02-b", none);
    const first = await processes.take("01-a", none);
    const second = await processes.take("01-a", none);
    assert.notEqual(first.child.pid, second.child.pid);
    await Promise.all([first, second].map(dismiss));
  });
});

Deno.test("a spare process goes to whom it is given, once, with the modules that it may read", async () => {
  await withProcesses(async (processes) => {
    const own = ownFiles("/nowhere/early");
    assert.equal(processes.giveSpare("01-a"), undefined);
    await processes.startSpare(own);
    assert.equal(processes.giveSpare("01-a"), own);
    assert.equal(processes.giveSpare("02-b"), undefined);
    const spare = await processes.take("01-a", own);
    const other = await processes.take("02-b", none);
    assert.notEqual(spare.child.pid, other.child.pid);
    await Promise.all([spare, other].map(dismiss));
  });
});

Deno.test("a spare process that nobody is given is ended", async () => {
  await withProcesses((processes) => processes.startSpare(none));
  await withProcesses(async (processes) => {
    await processes.startSpare(none);
    await processes.dropSpare();
    await processes.dropSpare();
    assert.equal(processes.giveSpare("01-a"), undefined);
  });
});

Deno.test("processes suit those alone who may read the same and stand in the same place", async () => {
  await withProcesses((processes) => {
    const { places } = processes;
    assert.equal(processes.suit({ ...places }), processes);
    assert.equal(processes.suit({ ...places, read: [...places.read, "/more"] }), undefined);
    assert.equal(processes.suit({ ...places, read: places.read.slice(1) }), undefined);
    assert.equal(processes.suit({ ...places, nowhere: "/" }), undefined);
    return Promise.resolve();
  });
});
