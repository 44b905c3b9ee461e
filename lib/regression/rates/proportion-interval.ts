import {
  checkChoice,
  checkConfidence,
  checkNumber,
  checkWhole,
  distributions,
} from "../../numerics/mod.ts";

/**
 * A proportion with its confidence limits.
 *
 * "wilson": the score interval, (p + z^2/2n +- z sqrt(p(1-p)/n + z^2/4n^2)) / (1 + z^2/n), without
 * continuity correction; covers close to its level on average. "exact": Clopper and Pearson, from
 * beta quantiles; never covers less than its level, and so is wider.
 *
 * @example
 * ```ts
 * import { proportionInterval } from "mitral";
 * proportionInterval(81, 263); // { estimate: 0.308, lower: 0.2553, upper: 0.3662 }
 * ```
 * @param events 0 .. n.
 * @param n At least 1.
 * @throws {DataError}
 * @see Wilson (1927) JASA 22:209-212; Clopper & Pearson (1934) Biometrika 26:404-413; compared by
 * Newcombe (1998) Stat Med 17:857-872.
 */
export function proportionInterval(
  events: number,
  n: number,
  options: { method?: "wilson" | "exact"; confidence?: number } = {},
): { estimate: number; lower: number; upper: number } {
  checkWhole("n", n, 1);
  checkNumber(
    "events",
    events,
    (v) => Number.isInteger(v) && v >= 0 && v <= n,
    `a whole number from 0 to ${n}`,
  );
  const method = checkChoice("method", options.method ?? "wilson", ["wilson", "exact"]);
  const tail = (1 - checkConfidence(options.confidence)) / 2;
  const estimate = events / n;
  if (method === "exact") {
    return {
      estimate,
      lower: events === 0 ? 0 : distributions.betaQuantile(tail, events, n - events + 1),
      // the upper limit is one minus the lower limit of the other outcome
      upper: events === n ? 1 : 1 - distributions.betaQuantile(tail, n - events, events + 1),
    };
  }
  const z = distributions.normalUpperQuantile(tail);
  const centre = (events + z * z / 2) / (n + z * z);
  const reach = z * Math.sqrt(events * (n - events) / n + z * z / 4) / (n + z * z);
  return {
    estimate,
    lower: events === 0 ? 0 : centre - reach,
    upper: events === n ? 1 : centre + reach,
  };
}
