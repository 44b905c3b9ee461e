import { countText, listText } from "../../words/mod.ts";

/** An effective number as it may be shown; null where it is too small to tell. */
export function shownEffective(
  effective: number | undefined,
  smallestCell: number,
): number | null {
  return effective === undefined || effective < smallestCell ? null : Math.round(effective);
}

/**
 * Under a row of a forest: how many patients it is of, and what each group is worth when weighted.
 *
 * @param of.effective One a group, in the order of the figure's groups.
 */
export function sizeInWords(
  patients: readonly (number | string)[],
  { effective, smallestCell }: {
    effective: readonly (number | undefined)[];
    smallestCell: number;
  },
): string {
  const text = (size: number | string) => typeof size === "number" ? countText(size) : size;
  const worth = effective.map((one) => shownEffective(one, smallestCell));
  const n = `n = ${listText(patients.map(text))}`;
  return worth.every((one) => one !== null) && worth.length > 0
    ? `${n}; effective ${listText(worth.map((one) => countText(one!)))}`
    : n;
}

/** How the lines under the rows of a forest of populations are to be read. */
export const forestWords: string =
  "n: patients; effective: what those of either group are worth when weighted. Drawn towards the " +
  "others: what is likeliest where the spread between populations is partly chance.";
