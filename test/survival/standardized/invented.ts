import { coxRegression, SeededRandom } from "mitral";

/**
 * Invented rows in which x decides treatment, death and censoring; the hazard of death is
 * 0.1 exp(0.8 x - 0.5 treated), that of censoring 0.05 exp(0.6 x).
 */
export function invented(seed: number, n: number, { ties = false } = {}) {
  const random = new SeededRandom(seed);
  const x = Float64Array.from({ length: n }, () => random.normal());
  const z = Float64Array.from({ length: n }, () => random.normal());
  const treated = x.map((value) => random.bernoulli(1 / (1 + Math.exp(-0.9 * value))));
  const event = new Float64Array(n);
  const time = x.map((value, i) => {
    const death = random.exponential(0.1 * Math.exp(0.8 * value - 0.5 * treated[i]!));
    const lost = random.exponential(0.05 * Math.exp(0.6 * value));
    event[i] = death <= lost ? 1 : 0;
    const t = Math.min(death, lost);
    return ties ? Math.ceil(2 * t) / 2 : t;
  });
  return { time, event, treated, covariates: { x, z } };
}

/** One group's own model of the hazard: its baseline, and the relative risk of each patient. */
export function ownModel(
  { time, event, treated, covariates }: ReturnType<typeof invented>,
  group: number,
) {
  const rows = [...treated.keys()].filter((i) => treated[i] === group);
  const pick = (values: Float64Array) => rows.map((i) => values[i]!);
  const { x, z } = covariates;
  const fit = coxRegression(
    { time: pick(time), event: pick(event), covariates: { x: pick(x), z: pick(z) } },
    { ties: "breslow" },
  );
  const [first, second] = fit.terms.map(({ coefficient }) => coefficient);
  const riskOf = (i: number) =>
    Math.exp(first! * (x[i]! - fit.means.x!) + second! * (z[i]! - fit.means.z!));
  return { baseline: fit.baselineHazard(), riskOf };
}
