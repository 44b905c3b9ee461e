import type { Analysis, Column, Completion } from "../model/mod.ts";

const made = new WeakMap<Analysis, readonly Analysis[]>();

/**
 * The analysis as each completed set has it, with nothing missing where the plan imputes; the
 * analysis itself, alone, where it does not.
 */
export function completedAnalyses(analysis: Analysis): readonly Analysis[] {
  const { completions, ...recorded } = analysis;
  if (!completions) return [analysis];
  const before = made.get(analysis);
  if (before) return before;
  const sets = completions.map((completion) => ({
    ...recorded,
    columns: { ...recorded.columns, ...completedColumns(recorded, completion) },
  }));
  made.set(analysis, sets);
  return sets;
}

function completedColumns(
  { columns }: Pick<Analysis, "columns">,
  completion: Completion,
): Record<string, Column> {
  return Object.fromEntries(
    Object.entries(completion).map(([name, { rows, values }]) => {
      const column = columns[name]!.slice();
      rows.forEach((row, k) => column[row] = values[k]!);
      return [name, column];
    }),
  );
}

/** What completed sets have in the place of missing values of some of the rows. */
export function completionsOf(
  completions: readonly Completion[],
  rows: Int32Array,
): readonly Completion[] {
  const place = new Map(Array.from(rows, (row, k) => [row, k]));
  return completions.map((completion) =>
    Object.fromEntries(
      Object.entries(completion).map(([name, cells]) => {
        const kept = [...cells.rows.keys()].filter((k) => place.has(cells.rows[k]!));
        const { values } = cells;
        return [name, {
          rows: Int32Array.from(kept, (k) => place.get(cells.rows[k]!)!),
          values: values instanceof Float64Array
            ? Float64Array.from(kept, (k) => values[k]!)
            : kept.map((k) => values[k]!),
        }];
      }),
    )
  );
}
