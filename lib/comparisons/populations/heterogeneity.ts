import { distributions, type Interval, type Test } from "../../numerics/mod.ts";
import { poolCentres, shrunkenEstimates } from "../../sensitivity/centres/mod.ts";
import { errorOf } from "./endpoint-contrast.ts";
import type { EndpointAnswer, PopulationAnswer } from "./population-answers.ts";

/** Whether one endpoint's difference is another in another population, at the main horizon. */
export interface Heterogeneity {
  /** Id of the endpoint. */
  endpoint: string;
  /** Name as readers see it. */
  label: string;
  /** Populations that share no patient and have a number, tested together. */
  together: {
    ids: string[];
    /** Cochran's Q on the scale of differences; null with fewer than two. */
    test: Test | null;
    /** Each drawn towards the mean of all, in the order of `ids`. */
    shrunken: (Interval & { shrinkage: number })[];
  };
  /** Populations that overlap those, each against everybody who is not in it. */
  against: {
    id: string;
    /** Difference within minus difference in the rest; null where either has no number. */
    interaction: (Interval & { pValue: number }) | null;
    /** Drawn towards the mean of itself and the rest. */
    shrunken: (Interval & { shrinkage: number }) | null;
  }[];
}

/** What is compared of a population: each endpoint at the main horizon. */
export interface MainDifferences {
  endpoints: readonly Pick<EndpointAnswer, "endpoint" | "main">[];
}

/** Tests and shrinks one endpoint's differences between populations. */
export function heterogeneityOf(
  { endpoint, label, members, others }: {
    endpoint: string;
    label: string;
    members: readonly PopulationAnswer[];
    others: readonly { answer: PopulationAnswer; rest: MainDifferences }[];
  },
  confidence: number,
): Heterogeneity {
  const known = members.flatMap((answer) => {
    const found = differenceIn(answer, endpoint, confidence);
    return found ? [{ id: answer.population.id, ...found }] : [];
  });
  const enough = known.length >= 2;
  const data = {
    estimates: known.map(({ estimate }) => estimate),
    variances: known.map(({ variance }) => variance),
  };
  return {
    endpoint,
    label,
    together: {
      ids: known.map(({ id }) => id),
      test: enough ? poolCentres(data, { method: "common", limits: "normal" }).heterogeneity : null,
      shrunken: enough ? shrunkenEstimates(data, { confidence }).populations : [],
    },
    against: others.map(({ answer, rest }) => {
      const { id } = answer.population;
      const within = differenceIn(answer, endpoint, confidence);
      const outside = differenceIn(rest, endpoint, confidence);
      if (!within || !outside) return { id, interaction: null, shrunken: null };
      const [shrunken] = shrunkenEstimates({
        estimates: [within.estimate, outside.estimate],
        variances: [within.variance, outside.variance],
      }, { confidence }).populations;
      const estimate = within.estimate - outside.estimate;
      const standardError = Math.sqrt(within.variance + outside.variance);
      const reach = distributions.normalUpperQuantile((1 - confidence) / 2) * standardError;
      const interaction = {
        estimate,
        standardError,
        lower: estimate - reach,
        upper: estimate + reach,
        pValue: distributions.normalTwoSided(estimate / standardError),
      };
      return { id, interaction, shrunken: shrunken ?? null };
    }),
  };
}

function differenceIn(
  { endpoints }: MainDifferences,
  endpoint: string,
  confidence: number,
): { estimate: number; variance: number } | null {
  const main = endpoints.find((one) => one.endpoint === endpoint)?.main;
  if (!main) return null;
  const variance = errorOf(main, confidence) ** 2;
  return variance > 0 ? { estimate: main.difference.estimate, variance } : null;
}
