import assert from "node:assert/strict";
import { join } from "node:path";
import { readableOfProject } from "../../../lib/report/guest/mod.ts";
import { dismiss, Processes } from "../../../lib/report/notebooks/processes.ts";

Deno.test("a process that was begun early is given to its notebook once, and none is left", async () => {
  const folder = await Deno.makeTempDir();
  try {
    const caches = join(folder, "caches");
    const processes = new Processes({ read: readableOfProject, nowhere: folder, caches });
    await processes.startEarly("01-a", []);
    await processes.startEarly("02-b", []);
    const first = await processes.take("01-a", []);
    const second = await processes.take("01-a", []);
    assert.notEqual(first.child.pid, second.child.pid);
    await Promise.all([first, second].map(dismiss));
    // a process left behind would be told of by the test's runner
    await processes.close();
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
