import { byPencil } from "./by-pencil.ts";
import type { Published } from "./published.ts";

/**
 * Levels of each characteristic in everybody, the matched and the unmatched of one group, as three
 * tables show them: hidden counts that can be worked out to within less than the smallest cell.
 */
export function characteristicsLeaks({ tables, smallestCell }: Published): string[] {
  const everybody = tables.find(({ id }) => id === "characteristics");
  const unmatched = tables.find(({ id }) => id === "unmatched");
  if (!everybody || !unmatched) return [];
  return ["repair", "replacement"].flatMap((arm) => {
    const sources = [
      { table: everybody, key: `afterMatching.${arm}` },
      { table: unmatched, key: `${arm}.unmatched` },
      { table: everybody, key: `before.${arm}` },
    ];
    const size = ({ table, key }: (typeof sources)[number]) => {
      const { label = "" } = table.columns.find((column) => column.key === key) ?? {};
      const count = Number(/n\s=\s([\d,]+)/.exec(label)?.[1]?.replaceAll(",", ""));
      if (Number.isNaN(count)) throw new Error(`no size in "${label}"`);
      return count;
    };
    const totals = sources.map(size);
    return blocksOf(everybody.rows.map(({ characteristic }) => String(characteristic)))
      .flatMap(({ name, levels }) => {
        const seen = sources.map(({ table, key }, i) => {
          const at = table.rows.findIndex(({ characteristic }) => characteristic === name);
          const next = table.rows.findIndex(({ characteristic }, k) =>
            k > at && !String(characteristic).startsWith("\u2003")
          );
          const block = table.rows.slice(at, next < 0 ? undefined : next);
          const count = (level: string) => {
            const row = block.find(({ characteristic }) => characteristic === level);
            // a level that nobody of either has is not printed; one not missing has no row for it
            if (row === undefined) return level.endsWith("missing") ? null : 0;
            // a count, or a count with its share; all else is a mean or withheld
            return Number(
              /^([\d,]+)(?: \(\d+%\))?$/.exec(String(row[key]))?.[1]?.replaceAll(",", "") ?? NaN,
            );
          };
          // a 0/1 column prints those with it; those without follow from all
          const counts = levels.some((level) => !level.endsWith("missing"))
            ? levels.map(count)
            : [count(name), null, ...levels.map(count)];
          const shown = counts.map((one) => Number.isNaN(one) ? null : one);
          return [...shown, / in /.test(name) ? null : totals[i]!];
        });
        if (seen.some((row) => row.at(-1) === null)) return [];
        return byPencil(seen).flatMap((row, i) =>
          row.slice(0, -1).flatMap(({ low, high }, j) => {
            const derived = seen[i]![j] === null && low === high;
            const few = high > 0 && high < smallestCell && low > 0;
            return derived && high > 0 && high < smallestCell || few && seen[i]![j] === null
              ? [`${name}, ${sources[i]!.key}, level ${j + 1}: from ${low} to ${high}`]
              : [];
          })
        );
      });
  });
}

/** A characteristic and the rows under it, which are set in. */
function blocksOf(names: readonly string[]): { name: string; levels: string[] }[] {
  const blocks: { name: string; levels: string[] }[] = [];
  for (const name of names) {
    if (name.startsWith("\u2003")) blocks.at(-1)?.levels.push(name);
    else blocks.push({ name, levels: [] });
  }
  return blocks;
}
