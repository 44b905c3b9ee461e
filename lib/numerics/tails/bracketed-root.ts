/** Two points with values of opposite signs, or a value of 0. */
export interface Bracket {
  low: number;
  high: number;
  atLow: number;
  atHigh: number;
}

/**
 * A root within a bracket: false position with the Illinois rule, and a bisection now and then, so
 * that no shape of the function keeps it long.
 *
 * @param options.near How close the ends come, given the larger of them; default to rounding.
 * @param options.enough A value that is 0 but for rounding.
 * @see Dowell & Jarratt (1971) BIT 11:168-174.
 */
export function bracketedRoot(
  value: (u: number) => number,
  { low, high, atLow, atHigh }: Bracket,
  { near = (size) => 4e-16 * size, enough = 0 }: {
    near?: (size: number) => number;
    enough?: number;
  } = {},
): number {
  let kept = 0; // which end the last step kept
  for (let iteration = 0; iteration < 200; iteration++) {
    if (atLow === 0) return low;
    if (atHigh === 0) return high;
    const width = high - low;
    const close = near(Math.max(1, Math.abs(low), Math.abs(high)));
    if (width <= close) break;
    let u = (low * atHigh - high * atLow) / (atHigh - atLow);
    if (!(u > low && u < high) || iteration % 8 === 7) u = low + width / 2;
    const atU = value(u);
    if (u === low || u === high) break;
    if (Math.abs(atU) <= enough) return u;
    const moved = Math.min(u - low, high - u);
    if (atU * atHigh > 0) {
      high = u;
      atHigh = atU;
      if (kept === -1) atLow /= 2;
      kept = -1;
    } else {
      low = u;
      atLow = atU;
      if (kept === 1) atHigh /= 2;
      kept = 1;
    }
    // an end that hardly moves from one step to the next lies at the root
    if (moved <= close) {
      const end = kept === -1 ? high : low;
      const beyond = kept === -1 ? Math.max(low, end - 2 * close) : Math.min(high, end + 2 * close);
      const atBeyond = value(beyond);
      if (atBeyond === 0) return beyond;
      if (atBeyond * (kept === -1 ? atHigh : atLow) < 0) return end;
      if (kept === -1) [high, atHigh] = [beyond, atBeyond];
      else [low, atLow] = [beyond, atBeyond];
      kept = 0;
    }
  }
  return low + (high - low) / 2;
}
