import type { SeededRandom } from "../../../lib/numerics/mod.ts";

// By hand: no censoring, so every incidence is a plain share. Inside: repair 3 of 4, replacement
// 1 of 4; outside: repair 1 of 4, replacement 2 of 4. Differences +1/2 and -1/4 (second label
// "b" minus "a"), interaction 3/4; without censoring each share p of 4 has variance p(1 - p)/4.
export const time = Float64Array.from({ length: 17 }, () => 1);
export const event = [1, 1, 1, 2, 1, 2, 2, 2, 1, 2, 2, 2, 1, 1, 2, 2, 1];
export const group = [..."bbbbaaaabbbbaaaab"];

/** Invented: rates of the event in each group, times `ratio` inside; death competing. */
export function invented(
  random: SeededRandom,
  { n, rates, ratio = 1, share, weighted = false }: {
    n: number;
    rates: readonly [number, number];
    ratio?: number;
    share: number;
    weighted?: boolean;
  },
) {
  const inside = Uint8Array.from({ length: n }, () => random.bernoulli(share));
  const score = Array.from(inside, (one) => 1 / (1 + Math.exp(weighted ? one - 0.6 : -0.6)));
  const arm = Uint8Array.from(score, (e) => random.bernoulli(e));
  const end = Float64Array.from(arm, () => 2 + 8 * random.uniform());
  const times = Float64Array.from(
    arm,
    (one, i) => random.exponential(rates[one]! * (inside[i] ? ratio : 1)),
  );
  const deaths = Float64Array.from(arm, () => random.exponential(0.04));
  const weight = Float64Array.from(arm, (one, i) => one === 1 ? 1 - score[i]! : score[i]!);
  const data = {
    time: times.map((t, i) => Math.min(t, deaths[i]!, end[i]!)),
    event: Uint8Array.from(
      times,
      (t, i) => t <= Math.min(deaths[i]!, end[i]!) ? 1 : deaths[i]! <= end[i]! ? 2 : 0,
    ),
    group: arm,
    ...(weighted ? { weight } : {}),
  };
  return { data, inside };
}
