import { SeededRandom } from "mitral";

/**
 * Patients with recurrence at rate 0.12, death at rate 0.06 before it and `ratio` times that after,
 * seen at irregular visits until death or the end of a study of 3 to 10 years.
 */
export function patients(n: number, seed: number, ratio: number, gap = 1.2) {
  const random = new SeededRandom(seed);
  const lastClear = new Float64Array(n);
  const found = new Float64Array(n).fill(Infinity);
  const time = new Float64Array(n);
  const death = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    const recurrence = random.exponential(0.12);
    const before = random.exponential(0.06);
    const dies = recurrence < before ? recurrence + random.exponential(0.06 * ratio) : before;
    const study = 3 + 7 * random.uniform();
    time[i] = Math.min(dies, study);
    death[i] = dies <= study ? 1 : 0;
    for (let visit = gap * random.uniform(); visit <= time[i]!;) {
      if (recurrence <= visit) {
        found[i] = visit;
        break;
      }
      lastClear[i] = visit;
      visit += gap * (0.3 + 1.4 * random.uniform());
    }
  }
  return { lastClear, found, time, death };
}
