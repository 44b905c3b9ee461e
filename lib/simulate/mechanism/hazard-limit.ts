/** One group in a life table by day: events, and the mass that stops being at risk after a day. */
export interface DailyRisk {
  /** Mass at risk on day 0. */
  total: number;
  event: Float64Array;
  leaving: Float64Array;
}

/**
 * The value that the coefficient of a proportional hazards model with two groups tends to in large
 * samples: the zero of the partial score Σ_t [d₁ − d r₁eᵇ / (r₀ + r₁eᵇ)], from daily counts.
 *
 * With hazards that are not proportional the limit is an average of log hazard ratios over time and
 * depends on how long everybody is followed. Ties within a day are treated as Breslow does, which
 * at these sizes changes nothing that is printed. Newton's method; the score is monotone.
 *
 * @returns Log hazard ratio of `first` against `second`.
 * @see Struthers & Kalbfleisch (1986) Biometrika 73:363-369.
 */
export function hazardLimit(first: DailyRisk, second: DailyRisk): number {
  const days = Math.min(first.event.length, second.event.length);
  let coefficient = 0;
  for (let iteration = 0; iteration < 50; iteration++) {
    const ratio = Math.exp(coefficient);
    let risk1 = first.total;
    let risk0 = second.total;
    let score = 0;
    let information = 0;
    for (let day = 0; day < days; day++) {
      const events = first.event[day]! + second.event[day]!;
      if (events > 0) {
        const share = risk1 * ratio / (risk0 + risk1 * ratio);
        score += first.event[day]! - events * share;
        information += events * share * (1 - share);
      }
      risk1 -= first.leaving[day]!;
      risk0 -= second.leaving[day]!;
    }
    const step = Math.max(-1, Math.min(1, score / information));
    coefficient += step;
    if (Math.abs(step) < 1e-10) return coefficient;
  }
  return NaN;
}
