import {
  balancingWeights,
  incidenceDifference,
  negativeControl,
  propensityScore,
  type SeededRandom,
} from "mitral";

const logistic = (eta: number) => 1 / (1 + Math.exp(-eta));

/**
 * A control outcome that the operation cannot change, compared by overlap weights on
 * what is measured.
 */
export function controlOf(random: SeededRandom, n: number, hidden: number) {
  const x = new Float64Array(n);
  const treated = new Uint8Array(n);
  const event = new Uint8Array(n);
  for (let i = 0; i < n; i++) {
    x[i] = random.normal();
    const frail = random.bernoulli(0.3);
    treated[i] = random.bernoulli(logistic(0.2 + 0.8 * x[i]! - hidden * frail));
    event[i] = random.bernoulli(logistic(-1.5 - 0.7 * x[i]! + hidden * frail));
  }
  const { score } = propensityScore({ treated, covariates: { x } });
  const weight = balancingWeights({ treated, score }, { estimand: "overlap" });
  const time = Float64Array.from(event, (had) => had ? 0.5 : 2);
  const data = { time, event, group: treated, weight };
  const [contrast] = incidenceDifference(data, { cause: 1, times: [1] });
  return negativeControl(contrast!.difference);
}
