import assert from "node:assert/strict";
import { join } from "node:path";
import { examples } from "./examples/examples.ts";

// Regression: our own drawings, looked at when stored. To store a change that was looked at:
//   UPDATE_SNAPSHOTS=1 deno test --allow-all test/figures/snapshots.test.ts
const kept = ["survival-few", "balance", "flow", "subgroups"];
const folder = join(import.meta.dirname!, "snapshots");

for (const id of kept) {
  Deno.test(`figures draw ${id} as stored`, () => {
    const figure = examples().find((item) => item.id === id)!;
    // one element a line, so that a change can be read
    const drawn = figure.svg.replace(/></g, ">\n<") + "\n";
    const file = join(folder, `${id}.snapshot`);
    if (Deno.env.get("UPDATE_SNAPSHOTS")) Deno.writeTextFileSync(file, drawn);
    const stored = Deno.readTextFileSync(file);
    if (drawn === stored) return;
    const changed = Deno.makeTempFileSync({ prefix: `${id}-`, suffix: ".svg" });
    Deno.writeTextFileSync(changed, drawn);
    assert.fail(
      `${id} is no longer as stored in ${file}: look at ${changed}, and if it is right, store it ` +
        "with UPDATE_SNAPSHOTS=1 deno test --allow-all test/figures/snapshots.test.ts",
    );
  });
}
