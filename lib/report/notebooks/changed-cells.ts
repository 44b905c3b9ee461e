import { cellKeys } from "../cells/mod.ts";
import { budget } from "../guest/mod.ts";
import { codeOf, type Notebook } from "./notebook.ts";
import type { CellOutput, NotebookRun, RunSeconds } from "./run-notebook.ts";

/** What an earlier run of a notebook showed, cell by cell. */
export interface EarlierCells {
  /** Of each code cell: the hash of what its outputs follow from (`cellKeys`). */
  keys: readonly string[];
  outputs: readonly CellOutput[][];
  seconds: RunSeconds;
}

/** The part of a notebook that has to run for its outputs to be those of a whole run. */
export interface ChangedCells {
  /** Code cells from 0: those that could show something else, and those whose names they take. */
  needed: ReadonlySet<number>;
  /**
   * Puts what the part showed beside what the other cells showed before.
   *
   * @param part The run of the needed cells alone; undefined where there are none.
   * @returns undefined where it does not follow that a whole run would show the same: the part did
   * not end well, or showed other than before what should be the same.
   */
  complete(part: NotebookRun | undefined): NotebookRun | undefined;
}

/**
 * Finds the cells of an edited notebook that need not run again, because their code, and all code
 * that gave the names it takes, is what it was.
 *
 * A warning is shown once in a run, below the first cell to raise it. So the cells that are left
 * stand in their old order; what an edited cell warned of it still warns of, and none that is gone
 * did; and a warning that the part raises is dropped where a cell before it showed it already.
 *
 * @returns undefined where all have to run.
 */
export function changedCells(
  notebook: Notebook,
  earlier: EarlierCells,
): ChangedCells | undefined {
  const code = cellKeys(codeOf(notebook));
  if (!code) return undefined;
  const same = inOldOrder(code.keys, earlier.keys);
  const inPlace = code.keys.length === earlier.keys.length &&
    [...same].every(([cell, old]) => cell === old);
  const left = new Set(same.values());
  const isLoud = earlier.outputs.some((shown, k) => !left.has(k) && warningsIn(shown).size > 0);
  if (isLoud && !inPlace) return undefined;
  const needed = code.behind(code.keys.keys().filter((cell) => !same.has(cell)));
  if (needed.size === code.keys.length) return undefined;
  const before = (cell: number) => earlier.outputs[same.get(cell) ?? -1] ?? [];
  return {
    needed,
    complete(part) {
      if (part?.failure || part?.stopped !== undefined) return undefined;
      const said = new Set<string>();
      const saidAnew = new Set<string>();
      const outputs: CellOutput[][] = [];
      for (const cell of code.keys.keys()) {
        const anew = without(said, part?.outputs[cell] ?? []);
        if (same.has(cell)) {
          const shown = before(cell);
          // what ran again and shows anything else follows from more than its code
          if (JSON.stringify(anew) !== JSON.stringify(needed.has(cell) ? shown : [])) {
            return undefined;
          }
          const warnings = warningsIn(shown);
          if (warnings.intersection(saidAnew).size > 0) return undefined;
          for (const warning of warnings) said.add(warning);
          outputs.push([...shown]);
        } else {
          const warnings = warningsIn(anew);
          const older = isLoud ? warningsIn(earlier.outputs[cell] ?? []) : new Set<string>();
          if (!older.isSubsetOf(warnings)) return undefined;
          for (const warning of warnings) saidAnew.add(warning);
          outputs.push(anew);
        }
      }
      if (isMuch(outputs)) return undefined;
      const cells = [...code.keys.keys()].map((cell) =>
        (needed.has(cell) ? part?.seconds.cells[cell] : undefined) ??
          earlier.seconds.cells[same.get(cell) ?? -1] ?? 0
      );
      const { start } = part?.seconds ?? earlier.seconds;
      const total = cells.reduce((sum, seconds) => sum + seconds, start);
      return {
        notebook,
        outputs,
        failure: undefined,
        seconds: { start, total, cells },
        again: { cells: needed.size, seconds: part?.seconds.total ?? 0 },
        ...(part?.answers && { answers: part.answers }),
      };
    },
  };
}

/** The old place of each cell that was there before, as far as they stand in their old order. */
function inOldOrder(keys: readonly string[], old: readonly string[]): Map<number, number> {
  const places = new Map<number, number>();
  let next = 0;
  for (const [cell, key] of keys.entries()) {
    const place = old.indexOf(key, next);
    if (place < 0) continue;
    places.set(cell, place);
    next = place + 1;
  }
  return places;
}

/** Outputs but for some warnings; text that then stands beside text is one, as it is in a run. */
function without(warnings: ReadonlySet<string>, outputs: readonly CellOutput[]): CellOutput[] {
  const left: CellOutput[] = [];
  for (const output of outputs) {
    const warning = warningOf(output);
    if (warning !== undefined && warnings.has(warning)) continue;
    const last = left.at(-1);
    if (last?.type === "stream" && output.type === "stream" && last.name === output.name) {
      left.splice(-1, 1, { ...last, text: last.text + output.text });
    } else left.push(output);
  }
  return left;
}

function warningsIn(outputs: readonly CellOutput[]): Set<string> {
  return new Set(outputs.flatMap((output) => warningOf(output) ?? []));
}

/** The id of a warning that a run shows once (`warningNote`). Notes of a notebook are others. */
function warningOf(output: CellOutput): string | undefined {
  const item = "item" in output ? output.item : undefined;
  const id = item?.kind === "note" && item.about === "warning" ? item.id : "";
  return /^warning-[0-9a-f]{8}$/.test(id) ? id : undefined;
}

/** Whether outputs come near to what a run may show in all: whether they may, a run must tell. */
function isMuch(outputs: readonly CellOutput[][]): boolean {
  // a letter printed may have been an event of its own
  const events = outputs.flat().map((one) =>
    one.type === "stream" && one.name === "stderr" ? one.text.length : 1
  );
  return events.reduce((sum, one) => sum + one, outputs.length) > budget.events / 2 ||
    JSON.stringify(outputs).length > budget.notebook / 2;
}
