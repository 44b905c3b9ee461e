import { isSmall } from "../../disclosure/mod.ts";
import { DataError } from "../../numerics/mod.ts";

/** One bar: how many values lie from its start to its end. */
export interface Bin {
  from: number;
  to: number;
  count: number;
  /** How many of the chosen part, such as the matched, lie there too. */
  part: number;
}

/**
 * Counts values in bars of equal width, then joins neighbours until no bar holds fewer than
 * `smallestCell`, nor fewer with or without the chosen part, apart from none: a bar of one patient
 * would show that patient's value.
 *
 * Layout only: a joined bar is meant to be drawn at the mean height of those it replaces, so that
 * areas stay true.
 *
 * @throws {DataError} On a value outside the domain or not finite.
 */
export function countBins(
  values: ArrayLike<number>,
  options: {
    domain: readonly [number, number];
    width: number;
    smallestCell: number;
    part?: ArrayLike<number>;
  },
): Bin[] {
  const { domain: [low, high], width, smallestCell, part } = options;
  const number = Math.max(1, Math.round((high - low) / width));
  const bins: Bin[] = Array.from({ length: number }, (_, k) => ({
    from: low + k * width,
    to: low + (k + 1) * width,
    count: 0,
    part: 0,
  }));
  count(values, "count");
  if (part) count(part, "part");
  const joined = joinSmall(bins, smallestCell);
  // where so few are in the chosen part, or outside it, that no bar can tell them apart, none does
  return joined.length > 0 || !part
    ? joined
    : joinSmall(bins.map((bin) => ({ ...bin, part: 0 })), smallestCell);

  function count(column: ArrayLike<number>, field: "count" | "part"): void {
    for (let i = 0; i < column.length; i++) {
      const value = column[i] ?? NaN;
      if (!(value >= low && value <= high)) {
        throw new DataError("values", `from ${low} to ${high}`, value, i);
      }
      const bin = bins[Math.min(number - 1, Math.floor((value - low) / width + 1e-9))];
      if (bin) bin[field]++;
    }
  }
}

function joinSmall(bins: readonly Bin[], smallestCell: number): Bin[] {
  // what is left of a bar without the chosen part is read off as easily as the part
  const large = ({ count, part }: Bin) =>
    count >= smallestCell && !isSmall(part, smallestCell) && !isSmall(count - part, smallestCell);
  const joined: Bin[] = [];
  let open: Bin | undefined;
  for (const bin of bins) {
    open = open ? join(open, bin) : { ...bin };
    if (open.count + open.part === 0 || large(open)) {
      joined.push(open);
      open = undefined;
    }
  }
  while (open && joined.length > 0 && !large(open)) {
    const before = joined.pop();
    if (before) open = join(before, open);
  }
  // too few in all to show any bar: one bar over everything would still be a small cell
  if (open && large(open)) joined.push(open);
  return joined;
}

function join(a: Bin, b: Bin): Bin {
  return { from: a.from, to: b.to, count: a.count + b.count, part: a.part + b.part };
}

/** Whether a bar stands for more than one. */
export function isJoined({ from, to }: Bin, width: number): boolean {
  return to - from > width * 1.5;
}
