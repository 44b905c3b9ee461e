import assert from "node:assert/strict";
import { cellKeys } from "../../../lib/report/cells/mod.ts";
import { changedCells } from "../../../lib/report/notebooks/changed-cells.ts";
import { notebookModule } from "../../../lib/report/notebooks/module.ts";
import { parseNotebook } from "../../../lib/report/notebooks/notebook.ts";
import type { CellOutput, NotebookRun } from "../../../lib/report/notebooks/run-notebook.ts";
import { makeNotebook } from "./make-notebook.ts";

const cells = ["const a = 1;", "const b = a + 1;\nb", "const c = 3;\nc", "a + c"];

const notebookOf = (code: readonly string[]) =>
  parseNotebook(makeNotebook([...code]), { id: "01-a", folder: "file:///nowhere/" });

const text = (value: string): CellOutput => ({ type: "stream", name: "stdout", text: value });

function warning(id: string): CellOutput {
  const item = { kind: "note", id, about: "warning", text: "Few." } as const;
  return { type: "display", bundle: { "text/plain": "Few." }, item };
}

const shown = () => cells.map((_, cell) => [text(`cell ${cell}`)]);

/** What there was, with some outputs in place of its own. */
const before = (outputs: CellOutput[][] = shown()) => ({
  keys: cellKeys(cells)!.keys,
  outputs,
  seconds: { start: 1, total: 11, cells: [1, 2, 3, 4] },
});

/** A run of the needed cells after an edit, and what the notebook then shows. */
function edited(
  code: readonly string[],
  { earlier = before(), ran = {}, ...more }: {
    earlier?: ReturnType<typeof before>;
    ran?: Record<number, CellOutput[]>;
  } & Partial<NotebookRun> = {},
) {
  const notebook = notebookOf(code);
  const changed = changedCells(notebook, earlier);
  const outputs = code.map((_, cell) =>
    ran[cell] ?? (changed?.needed.has(cell) ? [text(`cell ${cell}`)] : [])
  );
  const seconds = { start: 0.5, total: 9, cells: code.map(() => 0.25) };
  const part: NotebookRun = { notebook, outputs, failure: undefined, seconds, ...more };
  const run = changed?.complete(changed.needed.size > 0 ? part : undefined);
  return { needed: changed && [...changed.needed].sort(), run };
}

Deno.test("of an edited notebook the cells that the edit reaches run, and those they stand on", () => {
  // by hand
  const { needed, run } = edited(cells.with(3, "a - c"), { ran: { 3: [text("new")] } });
  assert.deepEqual(needed, [0, 2, 3]);
  assert.deepEqual(run?.outputs, shown().with(3, [text("new")]));
  assert.deepEqual(run?.seconds, { start: 0.5, total: 3.25, cells: [0.25, 2, 0.25, 0.25] });
  assert.deepEqual(run?.again, { cells: 3, seconds: 9 });
  // words alone, or a cell that is gone: nothing runs
  assert.deepEqual(edited(cells).run?.outputs, shown());
  assert.deepEqual(edited(cells.slice(0, 3)).run?.outputs, shown().slice(0, 3));
  assert.deepEqual(edited(cells.slice(0, 3)).needed, []);
  // a cell that was moved stands elsewhere, and runs
  assert.deepEqual(edited([cells[0]!, cells[2]!, cells[3]!, cells[1]!]).needed, [0, 3]);
  // what reaches all is a whole run; what is not plain as well
  assert.equal(edited(["const a = 2;", "const b = a;", "const c = a;", "a"]).needed, undefined);
  assert.equal(edited(cells.with(3, "let d = 4;")).needed, undefined);
});

Deno.test("where a part does not show what it should, or does not end well, the whole has to run", () => {
  // by hand
  const code = cells.with(3, "a - c");
  assert.equal(edited(code, { ran: { 2: [text("other than before")] } }).run, undefined);
  assert.equal(edited(code, { ran: { 1: [text("from a cell that did not run")] } }).run, undefined);
  assert.equal(edited(code, { stopped: 3 }).run, undefined);
  const failure = { notebook: "01-a", stage: "running", message: "no" } as const;
  assert.equal(edited(code, { failure }).run, undefined);
});

Deno.test("a warning is shown once, below the first cell that raises it, as in a whole run", () => {
  // by hand
  const code = cells.with(3, "a - c");
  const late = { 3: [warning("warning-0a1b2c3d"), text("new")] };
  // the cell that warned first did not run: the part warns again, which is dropped
  const first = before(shown().with(1, [warning("warning-0a1b2c3d")]));
  assert.deepEqual(edited(code, { earlier: first, ran: late }).run?.outputs[3], [text("new")]);
  const around = { 3: [text("a"), warning("warning-0a1b2c3d"), text("b")] };
  assert.deepEqual(edited(code, { earlier: first, ran: around }).run?.outputs[3], [text("ab")]);
  // nobody warned of it before
  assert.deepEqual(edited(code, { ran: late }).run?.outputs[3], late[3]);
  // an edited cell warned: it may do so still, but where it does not, another may have to
  const own = before(shown().with(3, [warning("warning-0a1b2c3d")]));
  assert.deepEqual(edited(code, { earlier: own, ran: late }).run?.outputs[3], late[3]);
  assert.equal(edited(code, { earlier: own }).run, undefined);
  // a note of the notebook's own is shown whenever it is
  const note = { 3: [warning("own"), text("new")] };
  const earlier = before(shown().with(1, [warning("own")]));
  assert.deepEqual(edited(code, { earlier, ran: note }).run?.outputs[3], note[3]);
  // it is gone
  assert.equal(edited(cells.slice(0, 3), { earlier: own }).needed, undefined);
  // a cell behind it warned, which now would not
  const behind = before(shown().with(3, [warning("warning-0a1b2c3d")]));
  const early = { 1: [warning("warning-0a1b2c3d")] };
  const second = cells.with(1, "const b = a + 2;\nb");
  assert.equal(edited(second, { earlier: behind, ran: early }).run, undefined);
});

Deno.test("where all that is shown comes near to what a run may show, the whole has to run", () => {
  // by hand
  const many = (count: number) => Array.from({ length: count }, () => warning("own"));
  const code = cells.with(3, "a - c");
  const earlier = before(shown().with(1, many(1400)));
  assert.ok(edited(code, { earlier, ran: { 3: many(1000) } }).run);
  assert.equal(edited(code, { earlier, ran: { 3: many(1200) } }).run, undefined);
});

Deno.test("the module of a part has every cell in its turn and every line in its place", () => {
  // by hand
  const result = notebookModule(notebookOf(cells), new Set([2]));
  assert.ok("module" in result);
  assert.deepEqual(result.module.source.split("\n").slice(1), [
    ";$mitral.cell(1);",
    "",
    ";$mitral.cell(2);",
    "",
    "",
    ";$mitral.cell(3);",
    "const c = 3;",
    "await $mitral.show((c))",
    ";$mitral.cell(4);",
    "",
    "",
  ]);
  assert.deepEqual(result.module.place(9), { cell: 3, line: 2 });
});
