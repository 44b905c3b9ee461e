import { publishableCounts } from "../../disclosure/mod.ts";

/** Which counts of the levels of one characteristic may be published, of one group. */
export interface PublishableLevels {
  whole: boolean[];
  matched: boolean[];
  unmatched: boolean[];
}

/**
 * Which counts may be published of the patients at each level of a characteristic, where everybody,
 * those matched and those not matched stand in tables, and how many there are of each is known: no
 * count from 1 to one less than `smallest` can be worked out from the others, whatever table they
 * stand in. See {@link publishableCounts}. Counts of 0 are published.
 *
 * The last level is of those without a value, which other tables count too.
 *
 * @param counts.matched Of the same levels; absent where no sample was matched.
 */
export function publishableLevels(
  counts: { whole: readonly number[]; matched?: readonly number[] },
  smallest: number,
): PublishableLevels {
  const { whole, matched = whole } = counts;
  const unmatched = whole.map((count, k) => count - matched[k]!);
  const parts = [matched, unmatched].filter((part) => part.some((count) => count > 0));
  const table = parts.length === 0 ? [whole] : parts;
  const { cells, columnTotals } = publishableCounts(table, {
    smallestCell: smallest,
    known: "rows",
    keep: [whole.length - 1],
  });
  const shown = (row: readonly (number | null)[] | undefined) =>
    whole.map((_, k) => row === undefined || row[k] !== null);
  const place = (part: readonly number[]) => cells[table.indexOf(part)];
  return {
    whole: shown(columnTotals),
    matched: shown(place(matched)),
    unmatched: shown(place(unmatched)),
  };
}
