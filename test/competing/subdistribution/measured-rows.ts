import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";

/** Invented: the hazard of the event rises with x in group 1, by `slope`, and not in group 0. */
export function sample(n: number, seed: number, slope: number) {
  const random = new SeededRandom(seed);
  const rows = { time: [] as number[], event: [] as number[], group: [] as number[] };
  const x: number[] = [];
  for (let i = 0; i < n; i++) {
    const group = random.bernoulli(0.5);
    const value = random.normal();
    const first = random.exponential(0.1 * Math.exp(slope * group * value));
    const second = random.exponential(0.05);
    const end = 2 + 8 * random.uniform();
    rows.time.push(Math.min(first, second, end));
    rows.event.push(first < Math.min(second, end) ? 1 : second < end ? 2 : 0);
    rows.group.push(group);
    x.push(value);
  }
  return { rows, x };
}
