import { placesOf } from "../../numerics/mod.ts";
import {
  type Analysis,
  butWith,
  type Column,
  columnsBeside,
  type Completion,
} from "../model/mod.ts";

const made = new WeakMap<Analysis, readonly Analysis[]>();

/**
 * The analysis as each completed set has it, with nothing missing where the plan imputes; the
 * analysis itself, alone, where it does not.
 */
export function completedAnalyses(analysis: Analysis): readonly Analysis[] {
  const { completions } = analysis;
  if (!completions) return [analysis];
  const before = made.get(analysis);
  if (before) return before;
  const sets = completions.map((completion) => {
    const columns = columnsBeside(analysis.columns, completedColumns(analysis, completion));
    return butWith(recordedOnly(analysis), { columns });
  });
  made.set(analysis, sets);
  return sets;
}

/** The analysis without completed sets of its own; nothing it makes when asked for is made. */
export function recordedOnly(analysis: Analysis): Analysis {
  if (!analysis.completions) return analysis;
  const recorded: Analysis = butWith(analysis, {});
  delete recorded.completions;
  return recorded;
}

function completedColumns(
  { columns }: Pick<Analysis, "columns">,
  completion: Completion,
): Map<string, () => Column> {
  return new Map(
    Object.entries(completion).map(([name, { rows, values }]) => [name, () => {
      const column = columns[name]!.slice();
      rows.forEach((row, k) => column[row] = values[k]!);
      return column;
    }]),
  );
}

/** What completed sets have in the place of missing values of some of the rows. */
export function completionsOf(
  completions: readonly Completion[],
  rows: Int32Array,
): readonly Completion[] {
  const placeOf = placesOf(rows);
  return completions.map((completion) =>
    Object.fromEntries(
      Object.entries(completion).map(([name, cells]) => {
        const kept = [...cells.rows.keys()].filter((k) => placeOf(cells.rows[k]!) >= 0);
        const { values } = cells;
        return [name, {
          rows: Int32Array.from(kept, (k) => placeOf(cells.rows[k]!)),
          values: values instanceof Float64Array
            ? Float64Array.from(kept, (k) => values[k]!)
            : kept.map((k) => values[k]!),
        }];
      }),
    )
  );
}
