import type { PopulationName, TrueAnswers, TrueValue } from "../../../lib/simulate/truth/mod.ts";
import type { Mix } from "./mixes.ts";
import type { Place, PrintedCohort, PrintedEstimate } from "./printed-estimates.ts";
import type { RatioLimits } from "./ratio-limits.ts";

/** How one printed quantity did. */
export interface PrintedPerformance extends Place {
  /** Cohorts in which it was printed: others had too little for a number. */
  cohorts: number;
  truth: number;
  mean: number;
  bias: number;
  biasError: number;
  /** Spread of the estimates over cohorts, and mean of the standard errors. */
  spread: number;
  error: number;
  /** Share of 95% limits that held the truth, with its Monte-Carlo error. */
  coverage: number;
  coverageError: number;
}

/** All quantities in one case mix. */
export interface MixPerformance {
  mix: Mix["name"];
  about: string;
  cohorts: number;
  firstSeed: number;
  patients: number;
  /** Means over the cohorts. */
  eligible: number;
  deaths: number;
  incomplete: number;
  effective: number;
  rows: PrintedPerformance[];
}

/** Bias and coverage of every quantity, against the truth in its population. */
export function performanceOf(
  { name, about, n }: Mix,
  { cohorts, firstSeed, truth }: {
    cohorts: PrintedCohort[];
    firstSeed: number;
    /** Not needed where each estimate has its own. */
    truth?: { answers: TrueAnswers; ratios: RatioLimits };
  },
): MixPerformance {
  const places = new Map<string, PrintedEstimate[]>();
  for (const { estimates } of cohorts) {
    for (const one of estimates) {
      if ([one.estimate, one.lower, one.upper].some((value) => !Number.isFinite(value))) continue;
      const key = [one.quantity, one.design, one.population, one.of, one.time].join("|");
      const list = places.get(key);
      if (list) list.push(one);
      else places.set(key, [one]);
    }
  }
  const mean = (value: (one: PrintedCohort) => number) => meanOf(cohorts.map(value));
  return {
    mix: name,
    about,
    cohorts: cohorts.length,
    firstSeed,
    patients: n,
    eligible: mean(({ eligible }) => eligible),
    deaths: mean(({ deaths }) => deaths),
    incomplete: mean(({ incomplete }) => incomplete),
    effective: mean(({ effective }) => effective),
    // in fewer than half of the cohorts, those with a number are not like the others
    rows: [...places.values()].filter((list) => 2 * list.length >= cohorts.length)
      .flatMap((list) => rowOf(list, truth)),
  };
}

function rowOf(
  list: PrintedEstimate[],
  truth: { answers: TrueAnswers; ratios: RatioLimits } | undefined,
): PrintedPerformance[] {
  const { quantity, design, population, of, time } = list[0]!;
  const known = trueValue(list, truth);
  if (!known) return [];
  const estimates = list.map(({ estimate }) => estimate);
  const n = list.length;
  const average = meanOf(estimates);
  // a truth in the very patients of each cohort varies with them
  const errors = list.map(({ estimate, own }) => estimate - (own ?? known.estimate));
  const held = list.filter(({ lower, upper, own }) => {
    const real = own ?? known.estimate;
    return lower <= real && real <= upper;
  }).length / n;
  return [{
    quantity,
    design,
    population,
    of,
    time,
    cohorts: n,
    truth: known.estimate,
    mean: average,
    bias: average - known.estimate,
    biasError: Math.hypot(deviation(errors) / Math.sqrt(n), known.standardError),
    spread: deviation(estimates),
    error: meanOf(list.map(({ standardError }) => standardError)),
    coverage: held,
    coverageError: Math.sqrt(held * (1 - held) / n),
  }];
}

const populations: Record<string, PopulationName> = {
  everyone: "overlap",
  degenerative: "degenerativeOverlap",
  secondary: "secondaryOverlap",
  "secondary-tethered": "secondaryTetheredOrLargeOverlap",
  "low-ejection-fraction": "lowEjectionFractionOverlap",
};
const endpoints = {
  death: "survival",
  "valve-failure": "valveFailure",
  recurrence: "recurrenceFound",
  "recurrence-severe": "severeRecurrenceFound",
  reoperation: "reoperation",
} as const;
type Endpoint = keyof typeof endpoints;
const isEndpoint = (quantity: string): quantity is Endpoint => quantity in endpoints;

/** The truth a quantity is held against; none where the generator does not know it. */
function trueValue(
  list: PrintedEstimate[],
  truth: { answers: TrueAnswers; ratios: RatioLimits } | undefined,
): TrueValue | undefined {
  const { quantity, design, population, of, time, own } = list[0]!;
  if (own !== undefined) {
    return { estimate: meanOf(list.map((one) => one.own!)), standardError: 0 };
  }
  if (!truth) return undefined;
  const { answers, ratios } = truth;
  const k = answers.horizons.indexOf(time);
  const arm = of === "repair" || of === "replacement" ? of : "difference";
  if (quantity in ratios) return ratios[quantity];
  // a rate's limit is what the rates of all the cohorts tend to
  if (quantity.startsWith("late rate")) {
    return { estimate: meanOf(list.map(({ estimate }) => estimate)), standardError: 0 };
  }
  if (design === "arms" && isEndpoint(quantity)) {
    const comparison = Object.entries(answers.comparisons).find(([id]) => id === population)?.[1];
    const difference = comparison?.differences[of];
    const name = endpoints[quantity];
    return name === "severeRecurrenceFound" ? undefined : difference?.[name][k];
  }
  const within = answers.populations[populations[population]!];
  if (quantity === "years lived") return within.restrictedMean[arm][0];
  return isEndpoint(quantity) ? within[endpoints[quantity]][arm][k] : undefined;
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

function deviation(values: readonly number[]): number {
  const mean = meanOf(values);
  return Math.sqrt(
    values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (values.length - 1),
  );
}
