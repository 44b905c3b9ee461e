import { SeededRandom } from "../../../lib/numerics/replicates/random.ts";

// Invented curves, seeded: enough like the real ones to lay figures out, and no
// estimate of anything.

/** Survival by product limit of exponential deaths, with round limits. */
export function inventedSurvival(
  options: { n: number; rate: number; seed: number; until?: number },
) {
  const random = new SeededRandom(options.seed);
  const until = options.until ?? 12;
  const rows = Array.from({ length: options.n }, () => {
    const death = random.exponential(options.rate);
    const seen = 2 + (until - 2) * random.uniform();
    return { time: Math.min(death, seen), died: death <= seen };
  }).sort((a, b) => a.time - b.time);
  const m = rows.length;
  const columns = {
    time: new Float64Array(m),
    survival: new Float64Array(m),
    lower: new Float64Array(m),
    upper: new Float64Array(m),
    atRisk: new Float64Array(m),
  };
  let survival = 1;
  rows.forEach((row, i) => {
    if (row.died) survival *= 1 - 1 / (m - i);
    const half = 1.96 * Math.sqrt(survival * (1 - survival) / (m - i));
    columns.time[i] = row.time;
    columns.survival[i] = survival;
    columns.lower[i] = Math.max(0, survival - half);
    columns.upper[i] = Math.min(1, survival + half);
    columns.atRisk[i] = m - i;
  });
  return columns;
}

/** Incidence of two causes that share what survival leaves. */
export function inventedIncidence(
  options: { n: number; rate: number; share: number; seed: number },
) {
  const all = inventedSurvival(options);
  const cause = (code: number, share: number) => {
    const incidence = all.survival.map((s) => share * (1 - s));
    const half = incidence.map((f, i) => 1.96 * Math.sqrt(f * (1 - f) / (all.atRisk[i] ?? 1)));
    return {
      cause: code,
      incidence,
      lower: incidence.map((f, i) => Math.max(0, f - (half[i] ?? 0))),
      upper: incidence.map((f, i) => Math.min(1, f + (half[i] ?? 0))),
    };
  };
  return {
    time: all.time,
    atRisk: all.atRisk,
    causes: [cause(1, options.share), cause(2, 1 - options.share)],
  };
}

/** A difference of two curves, wandering. */
export function inventedDifference(options: { until: number; seed: number }) {
  const random = new SeededRandom(options.seed);
  const time = Float64Array.from({ length: 40 }, (_, i) => ((i + 1) * options.until) / 40);
  let level = 0;
  const estimate = time.map(() => (level += 0.015 * random.normal()));
  const half = time.map((t) => 0.04 + 0.02 * t);
  return {
    time,
    estimate,
    lower: estimate.map((d, i) => d - (half[i] ?? 0)),
    upper: estimate.map((d, i) => d + (half[i] ?? 0)),
  };
}

/** Scores of two groups that overlap in the middle. */
export function inventedScores(seed: number) {
  const random = new SeededRandom(seed);
  const draw = (n: number, centre: number) =>
    Array.from({ length: n }, () => 1 / (1 + Math.exp(-(centre + 1.1 * random.normal()))));
  const side = (n: number, centre: number) => {
    const score = draw(n, centre);
    return { score, matched: score.filter((s) => s > 0.25 && s < 0.75 && random.uniform() < 0.7) };
  };
  return { repair: side(900, 0.6), replacement: side(700, -0.5) };
}

/** So many paths with two choices; the third of them is the plan's own. */
export function inventedPaths(count: number) {
  const random = new SeededRandom(count);
  const dimensions = [
    {
      id: "design",
      label: "Design",
      options: [
        { id: "weighted", label: "Weighted to the overlap" },
        { id: "matched", label: "Matched, highest score first" },
        { id: "model", label: "Regression, standardised" },
      ],
    },
    {
      id: "missing",
      label: "Missing values",
      options: [{ id: "impute", label: "Imputed" }, { id: "complete", label: "Complete only" }],
    },
  ];
  const paths = Array.from({ length: count }, (_, k) => {
    const estimate = 0.04 + 0.02 * random.normal();
    const half = 0.04 + 0.02 * random.uniform();
    const choices = Object.fromEntries(
      dimensions.map(({ id, options }) => [id, options[random.integer(options.length)]!.id]),
    );
    const [lower, upper] = [estimate - half, estimate + half];
    return { estimate, lower, upper, choices, planned: k === 2 };
  });
  return { dimensions, paths };
}
