import { countText, per100, roundTo } from "../words/mod.ts";

/** Whether a count is too small to publish. 0 tells nobody's secret. */
export function isSmall(count: number, smallestCell: number): boolean {
  return count > 0 && count < smallestCell;
}

/** A count, or a bound where it is too small to publish. */
export function boundedCount(count: number, smallestCell: number): number | string {
  return isSmall(count, smallestCell) ? `< ${smallestCell}` : count;
}

/**
 * A count as it stands in a sentence: "374", "fewer than 11".
 *
 * @param options.of Numbers published elsewhere of which these are a part: as
 * {@link publishablePart}.
 */
export function countInWords(
  count: number,
  { smallestCell, of = [] }: { smallestCell: number; of?: number | readonly number[] },
): string {
  return boundInWords(publishablePart(count, of, smallestCell));
}

/** A count or bound as it was published, in a sentence: "374", "fewer than 11". */
export function boundInWords(shown: number | string): string {
  if (typeof shown === "number") return countText(shown);
  const [side, bound] = shown.split(" ");
  return `${side === "<" ? "fewer" : "more"} than ${countText(Number(bound))}`;
}

/**
 * A count of some of those counted elsewhere: itself, or a bound where it is small or where taking
 * it from a published number would leave a small rest.
 *
 * With a smallest cell of 11, 370 of 374 is "> 363": the rest is one of 1 to 10, and no
 * more is said.
 * A rest of 0 is no secret. The bound is drawn from the least of the numbers that are too near, so
 * that every rest from 1 to `smallestCell - 1` stays possible; of a whole below twice the smallest
 * cell no more is said than that it is not all of it.
 *
 * @param wholes Numbers published elsewhere of which these are a part.
 * @example
 * ```ts
 * import { publishablePart } from "mitral";
 * publishablePart(370, 374, 11); // "> 363"
 * publishablePart(362, 374, 11); // 362
 * ```
 */
export function publishablePart(
  part: number,
  wholes: number | readonly number[],
  smallestCell: number,
): number | string {
  const larger = [wholes].flat().filter((whole) => whole > part && whole >= smallestCell);
  const near = larger.filter((whole) => isSmall(whole - part, smallestCell));
  if (near.length === 0 && !isSmall(part, smallestCell)) return part;
  // of a whole this small, either part or rest is, and which of them would tell too much
  const least = Math.min(...larger);
  if (part > 0 && least < 2 * smallestCell) return `< ${least}`;
  if (isSmall(part, smallestCell)) return `< ${smallestCell}`;
  return `> ${Math.min(...near) - smallestCell}`;
}

/**
 * Counts of ever fewer of the same people, each within those before it, such as the numbers at risk
 * of death, of reoperation and of recurrence at one time: no two that are published differ by a
 * small number. What comes first is published first.
 */
export function publishableNested(
  counts: readonly number[],
  smallestCell: number,
): (number | string)[] {
  const published: number[] = [];
  return counts.map((count) => {
    const shown = publishablePart(count, published, smallestCell);
    if (typeof shown === "number") published.push(shown);
    return shown;
  });
}

/**
 * Counts of groups that do not overlap, of a whole that is published: where those too small to
 * publish add up to a small number, the least of the others is bounded with them.
 *
 * Not everybody need be in a group. With 51 in all, 42 and 5 are "> 40" and "< 11": 51 less 42
 * would tell of 9.
 */
export function publishableKinds(
  counts: readonly number[],
  { whole, smallestCell }: { whole: number; smallestCell: number },
): (number | string)[] {
  const shown = counts.map((count) => boundedCount(count, smallestCell));
  if (isSmall(whole, smallestCell)) return shown;
  const rest = () =>
    shown.reduce<number>((left, count) => left - (typeof count === "number" ? count : 0), whole);
  if (isSmall(rest(), smallestCell)) {
    const least = Math.min(...counts.filter((count) => count >= smallestCell));
    const at = counts.indexOf(least);
    // what is left of the whole for this one and those not shown
    const left = rest() + least;
    if (at >= 0) shown[at] = publishablePart(least, left, smallestCell);
  }
  return shown;
}

/**
 * A proportion of people as it leaves: to a tenth of one in 100, as it is printed. More digits
 * would tell nobody more about the patients, but would tell of how many they are: 0.02317 is
 * 24 of 1036.
 *
 * @param options.per 1 (the default) for a proportion, 100 for per 100.
 */
export function publishedShare(share: number, { per = 1 }: { per?: 1 | 100 } = {}): number {
  const rounded = roundTo(share, 3);
  return per === 100 ? per100(rounded) : rounded;
}

/** {@link publishedShare} per 100. */
export function publishedPer100(share: number): number {
  return publishedShare(share, { per: 100 });
}

/**
 * A share of a count, or `null` where it would give away a small one: the part, or what is left.
 */
export function publishableShare(
  part: number,
  whole: number,
  smallestCell: number,
): number | null {
  if (whole <= 0 || isSmall(whole, smallestCell)) return null;
  return isSmall(part, smallestCell) || isSmall(whole - part, smallestCell) ? null : part / whole;
}
