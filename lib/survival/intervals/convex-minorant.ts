/** First and second derivatives by cumulative masses, and room for the step. */
export interface MinorantWork {
  /**
   * Derivative of a concave function by the cumulative mass up to each place; the last is not used.
   */
  slope: Float64Array;
  /** Minus its second derivative by the same. */
  curvature: Float64Array;
  /** Masses to step towards: the result. */
  target: Float64Array;
  blockValue: Float64Array;
  blockWeight: Float64Array;
  blockEnd: Int32Array;
}

/** Room for m masses. */
export function minorantWork(m: number): MinorantWork {
  const column = () => new Float64Array(m);
  return {
    slope: column(),
    curvature: column(),
    target: column(),
    blockValue: column(),
    blockWeight: column(),
    blockEnd: new Int32Array(m),
  };
}

/**
 * Masses at the end of an iterative convex minorant step: a Newton step with diagonal curvature in
 * the cumulative masses, made monotone by weighted isotonic regression. Exact zeros come out of it,
 * and a zero can come back. A cumulative mass without curvature stays.
 *
 * @see Wellner & Zhan (1997) JASA 92:945-959.
 */
export function minorantTarget(mass: Float64Array, work: MinorantWork): void {
  const { slope, curvature, target, blockValue, blockWeight, blockEnd } = work;
  const m = mass.length;
  // pool adjacent violators over the first m - 1 cumulative masses; the last is 1
  let blocks = 0;
  let upTo = 0;
  for (let j = 0; j < m - 1; j++) {
    upTo += mass[j]!;
    let share = Math.max(curvature[j]!, 1e-12);
    let value = upTo + (curvature[j]! > 0 ? slope[j]! / curvature[j]! : 0);
    while (blocks > 0 && blockValue[blocks - 1]! >= value) {
      blocks--;
      const joined = share + blockWeight[blocks]!;
      value = (share * value + blockWeight[blocks]! * blockValue[blocks]!) / joined;
      share = joined;
    }
    blockValue[blocks] = value;
    blockWeight[blocks] = share;
    blockEnd[blocks] = j;
    blocks++;
  }
  let before = 0;
  let j = 0;
  for (let b = 0; b < blocks; b++) {
    const value = Math.min(1, Math.max(0, blockValue[b]!));
    target[j] = value - before;
    for (j++; j <= blockEnd[b]!; j++) target[j] = 0;
    before = value;
  }
  target[m - 1] = 1 - before;
}
