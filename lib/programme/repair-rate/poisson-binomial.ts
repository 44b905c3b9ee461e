/**
 * Chances of 0 .. n successes among independent trials, each with a chance of its own
 * (Poisson-binomial), by convolution. Chances below 1e-18 at the ends are taken as 0. Cost O(n m),
 * m the counts that are possible in practice.
 */
export function poissonBinomial(chance: Float64Array): Float64Array {
  const n = chance.length;
  const mass = new Float64Array(n + 1);
  mass[0] = 1;
  let low = 0;
  let high = 0;
  for (let i = 0; i < n; i++) {
    const p = chance[i]!;
    const q = 1 - p;
    high++;
    for (let k = high; k > low; k--) mass[k] = mass[k]! * q + mass[k - 1]! * p;
    mass[low]! *= q;
    while (low < high && mass[low]! < 1e-18) mass[low++] = 0;
    while (high > low && mass[high]! < 1e-18) mass[high--] = 0;
  }
  return mass;
}

/** Chances of at most and at least `count`; both include it. */
export function countTails(mass: Float64Array, count: number): { atMost: number; atLeast: number } {
  let atMost = 0;
  let atLeast = 0;
  for (let k = 0; k <= count; k++) atMost += mass[k]!;
  for (let k = mass.length - 1; k >= count; k--) atLeast += mass[k]!;
  return { atMost, atLeast };
}

/**
 * Chance of fewer than a count plus half the chance of that count itself, the "mid-p" lower tail,
 * drawn straight between whole counts.
 */
export function midLowerTail(mass: Float64Array, count: number): number {
  const n = mass.length - 1;
  const within = Math.min(n, Math.max(0, count));
  const whole = Math.floor(within);
  let fewer = 0;
  for (let k = 0; k < whole; k++) fewer += mass[k]!;
  const at = fewer + mass[whole]! / 2;
  if (whole === n) return at;
  const next = fewer + mass[whole]! + mass[whole + 1]! / 2;
  return at + (within - whole) * (next - at);
}
