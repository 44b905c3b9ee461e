import type { Analysis } from "../../cohort/model/mod.ts";
import { isSmall } from "../../disclosure/mod.ts";
import { fewestValues } from "../../disclosure/solver/mod.ts";
import { roundTo } from "../../words/mod.ts";
import { differenceOfShares } from "../alike/mod.ts";

/** How many of each group have each value: controls first. */
type Counts = [Float64Array, Float64Array];

/**
 * What the standardised differences of a category would tell: whether some value is that of few
 * patients of a group, matched, not matched or both; and whether even rounded to a tenth a
 * difference would then leave fewer numbers of them possible than must be, as among few patients.
 *
 * @param among Rows that count.
 * @param values Of each row, as numbers.
 * @param matched Weights of the matched.
 */
export function tellingOf(
  { treated, study: { smallestCell } }: Pick<Analysis, "treated" | "study">,
  among: Uint8Array,
  values: Float64Array,
  matched: Float64Array | undefined,
): { coarse: boolean; untold: boolean } {
  const levels = new Map<number, number>();
  values.forEach((value, i) => {
    if (among[i] && !levels.has(value)) levels.set(value, levels.size);
  });
  const empty = (): Counts => [new Float64Array(levels.size), new Float64Array(levels.size)];
  const [whole, inside] = [empty(), empty()];
  for (let i = 0; i < values.length; i++) {
    if (!among[i]) continue;
    const level = levels.get(values[i]!)!;
    whole[treated[i] as 0 | 1][level]!++;
    if (matched && matched[i]! > 0) inside[treated[i] as 0 | 1][level]!++;
  }
  const few = ([0, 1] as const).flatMap((group) =>
    [...levels.values()].filter((level) => {
      const [all, some] = [whole[group][level]!, inside[group][level]!];
      return [all, ...(matched ? [some, all - some] : [])].some((count) =>
        isSmall(count, smallestCell)
      );
    }).map((level) => ({ group, level }))
  );
  const untold = few.some(({ group, level }) =>
    [whole, ...(matched ? [inside] : [])].some((counts) => {
      const spread = counts === whole ? undefined : sharesOf(whole);
      return leavesFewer(counts, { group, level, spread }, fewestValues(smallestCell));
    })
  );
  return { coarse: few.length > 0, untold };
}

/**
 * Whether fewer numbers of one value than `enough` leave the difference as it is to a tenth,
 * for some other value that the others of the group may have.
 */
function leavesFewer(
  counts: Counts,
  { group, level, spread }: { group: 0 | 1; level: number; spread: Counts | undefined },
  enough: number,
): boolean {
  const own = counts[group];
  const tenth = (changed: Float64Array) => {
    const shares = sharesOf(group === 0 ? [changed, counts[1]] : [counts[0], changed]);
    const size = differenceOfShares(shares, spread ?? shares);
    const sign = own.length === 2 && shares[1][0]! < shares[0][0]! ? -1 : 1;
    return roundTo(sign * size, 1);
  };
  const printed = tenth(own);
  for (let other = 0; other < own.length; other++) {
    const both = own[level]! + own[other]!;
    if (other === level || both === 0) continue;
    const isPossible = (count: number) =>
      tenth(own.with(level, count).with(other, both - count)) === printed;
    let possible = 1; // as it is
    // the nearest first: they are the likeliest to leave it, and enough of them settle it
    for (let away = 1; away <= both && possible < enough; away++) {
      for (const count of [own[level]! - away, own[level]! + away]) {
        if (count >= 0 && count <= both && isPossible(count)) possible++;
      }
    }
    if (possible < enough) return true;
  }
  return false;
}

function sharesOf(counts: Counts): Counts {
  return counts.map((group) => {
    const total = group.reduce((sum, count) => sum + count, 0);
    return group.map((count) => count / total);
  }) as Counts;
}
