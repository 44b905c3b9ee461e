/** What is published of a count. */
export type Cell = { shown: "count"; count: number } | { shown: "few" } | { shown: "hidden" };

/**
 * Which of the counts that make up one known total may be published.
 *
 * Counts from 1 to one less than `smallest` are not ("few"). A count is hidden where taking it from
 * a count of `whole`, which is published too, would leave so few. Where only one count is withheld,
 * the others and the total would give it away, so the smallest of them is hidden with it. Counts of
 * 0 are published.
 *
 * @param whole The same counts in a larger sample that this one is part of.
 */
export function publishableCells(
  counts: readonly number[],
  smallest: number,
  whole: readonly number[] = counts,
): Cell[] {
  const isFew = (count: number) => count > 0 && count < smallest;
  const cells = counts.map((count, i): Cell => {
    if (isFew(count)) return { shown: "few" };
    return isFew(whole[i]! - count) && count > 0 ? { shown: "hidden" } : { shown: "count", count };
  });
  if (cells.filter(({ shown }) => shown !== "count").length !== 1) return cells;
  let companion = -1;
  counts.forEach((count, i) => {
    if (cells[i]!.shown !== "count" || count === 0) return;
    if (companion < 0 || count < counts[companion]!) companion = i;
  });
  if (companion >= 0) cells[companion] = { shown: "hidden" };
  return cells;
}

/** A cell as text: "123", "< 11" for few, "≥ 11" for one hidden with it. */
export function cellText(cell: Cell, smallest: number): string {
  if (cell.shown === "count") return String(cell.count);
  return cell.shown === "few" ? `< ${smallest}` : `≥ ${smallest}`;
}
