import assert from "node:assert/strict";
import { join } from "node:path";
import { buildReport } from "../../../lib/report/build-report.ts";
import { fromFileUrl } from "../../../lib/report/sandbox/mod.ts";

const project = fromFileUrl(new URL("../../../", import.meta.url));

/** A notebook file's JSON with one code cell written otherwise, so that it means the same. */
function edited(json: string, round: number): string {
  const notebook = JSON.parse(json);
  const code = notebook.cells.filter((cell: { cell_type: string }) => cell.cell_type === "code");
  const cell = code[round % code.length];
  const source = cell.source.join("");
  // within what gives the first name, so that what stands on it is reached as well
  const within = source.replace(/( = (?:[^"`;]|\n)*?\()/, "$1/* edited */ ");
  cell.source = round % 2 === 1 && within !== source ? within : `${source}\n// edited`;
  return JSON.stringify(notebook);
}

// property; rounds of one edited cell a notebook: 0 to 38 would be all cells
const rounds = [4, 9];

Deno.test("whichever cell is edited, the cells that run again and those that do not show what a whole run shows", async () => {
  const folder = await Deno.makeTempDir();
  try {
    const notebooks = join(folder, "notebooks");
    await Deno.mkdir(notebooks);
    const sources = new Map<string, string>();
    for await (const { name } of Deno.readDir(join(project, "notebooks"))) {
      if (!name.endsWith(".ipynb")) continue;
      sources.set(name, await Deno.readTextFile(join(project, "notebooks", name)));
    }
    const run = async (round?: number) => {
      for (const [name, json] of sources) {
        await Deno.writeTextFile(
          join(notebooks, name),
          round === undefined ? json : edited(json, round),
        );
      }
      const { model } = await buildReport({
        notebooks,
        out: join(folder, "out"),
        typeCheck: false,
      });
      assert.deepEqual(model.failures, []);
      return model.runs;
    };
    const whole = await run();
    for (const round of rounds) {
      const runs = await run(round);
      for (const [index, { notebook, outputs, again }] of runs.entries()) {
        assert.deepEqual(outputs, whole[index]?.outputs, `${notebook.id}, round ${round}`);
        const cells = again?.cells ?? outputs.length;
        console.log(`round ${round}: ${notebook.id}: ${cells} of ${outputs.length} cells again`);
      }
      const parts = runs.filter(({ again }) => again);
      assert.ok(parts.length >= runs.length / 2, `round ${round}: ${parts.length} of them in part`);
    }
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});
