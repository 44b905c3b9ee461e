import * as mitral from "mitral";
import { daysPerYear } from "../../lib/simulate/mechanism/outcomes.ts";
import { type PatientTruth, simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";
import { type DatedIncidence, datedIncidence } from "./visits/dating.ts";
import { readBack } from "./read-back.ts";

/** How the groups were made comparable, or not. */
export type DesignName =
  | "unadjusted"
  | "matched"
  | "matchedAsIndependent"
  | "matchedClosest"
  | "overlap"
  | "everyone"
  | "treated"
  | "overlapTrueScore"
  | "everyoneTrueScore"
  | "overlapStandardized"
  | "overlapDoublyRobust"
  | "everyoneStandardized"
  | "everyoneDoublyRobust";

/** What was estimated: repair minus replacement, or repair against replacement. */
export type QuantityName =
  | "survival"
  | "recurrenceFound"
  | "reoperation"
  | "restrictedMean"
  | "logHazardRatio";

/** One estimate from one cohort. */
export interface Estimate {
  quantity: QuantityName;
  design: DesignName;
  /** Horizon in years. */
  time: number;
  estimate: number;
  standardError: number;
  lower: number;
  upper: number;
  /** The true difference in the very patients of the design, where the design chose them. */
  own?: number;
}

/** What one simulated cohort gave. */
export interface CohortResult {
  seed: number;
  eligible: number;
  pairs: number;
  /** Pairs where the closest are made first. */
  closestPairs: number;
  /** Mean over pairs of repair minus replacement on the logit of the score, in calipers. */
  gap: { descending: number; closest: number };
  estimates: Estimate[];
  dated: DatedIncidence[];
  /** What the propensity model warned of. */
  warnings: string[];
}

export const horizons = [1, 5, 10];
export const meanHorizon = 10;
export const cohortSize = 1800;

/**
 * Everything estimated from one simulated cohort, by the path a notebook takes: two files in a
 * folder, read, checked, selected, matched and weighted.
 */
export async function estimatesFrom(seed: number): Promise<CohortResult> {
  const simulated = simulateCohort({ seed, n: cohortSize });
  const analysis = await readBack(simulated);
  const { study } = analysis;
  const propensity = mitral.studyPropensity(analysis, study);
  // both orders, whichever the study plans
  const matchedFrom = (begin: mitral.Study["matching"]["begin"]) =>
    mitral.matchedSample(analysis, { ...study, matching: { ...study.matching, begin } }, {
      propensity,
    });
  const sample = matchedFrom("highest");
  const closest = matchedFrom("closest");
  const truth = Array.from(analysis.rows, (row) => simulated.truth[row]!);
  const trueScore = {
    ...propensity,
    score: Float64Array.from(truth, (patient) => patient.propensity),
  };
  const weights = (estimand: mitral.Estimand, score: mitral.StudyPropensity = propensity) =>
    mitral.weightedSample(analysis, study, { estimand, propensity: score }).weight;
  const weightOf = {
    overlap: weights("overlap"),
    everyone: weights("everyone"),
    treated: weights("treated"),
    overlapTrueScore: weights("overlap", trueScore),
    everyoneTrueScore: weights("everyone", trueScore),
  };
  const ownTruth = (rows: Int32Array) => truthOf(Array.from(rows, (row) => truth[row]!));
  const highest = ownTruth(sample.rows);
  const own: Partial<Record<DesignName, OwnTruth>> = {
    matched: highest,
    matchedAsIndependent: highest,
    matchedClosest: ownTruth(closest.rows),
  };
  const estimates: Estimate[] = [];

  for (const quantity of ["survival", "recurrenceFound", "reoperation"] as const) {
    const followUp = mitral.followUpOf(analysis, endpointOf[quantity]);
    for (const [design, data] of designsOf(followUp, { sample, closest, weightOf })) {
      const contrasts = quantity === "survival"
        ? mitral.survivalDifference(data, { times: horizons })
        : mitral.incidenceDifference(data, { cause: 1, times: horizons });
      contrasts.forEach(({ time, difference }, k) => {
        const ownDifference = own[design]?.[quantity][k];
        estimates.push({ quantity, design, time, ...limitsOf(difference), own: ownDifference });
      });
      if (quantity !== "survival") continue;
      const { difference } = mitral.restrictedMeanDifference(data, { horizon: meanHorizon });
      estimates.push({
        quantity: "restrictedMean",
        design,
        time: meanHorizon,
        ...limitsOf(difference),
        own: own[design]?.restrictedMean,
      });
      if (!own[design]) estimates.push(logHazardRatio(design, data));
    }
  }
  estimates.push(...modelled(analysis, propensity));
  return {
    seed,
    eligible: analysis.n,
    pairs: sample.sets,
    closestPairs: closest.sets,
    gap: { descending: gapOf(sample), closest: gapOf(closest) },
    estimates,
    dated: datedIncidence(analysis, truth),
    warnings: propensity.warnings,
  };
}

/** Survival by regression alone and doubly robust, as notebook 03 asks for them. */
function modelled(
  analysis: mitral.Analysis,
  { design, score }: mitral.StudyPropensity,
): Estimate[] {
  const { time, event } = mitral.followUpOf(analysis, "death");
  const { treated } = analysis;
  const columns = { time, event, treated, covariates: design.covariates };
  return (["overlap", "everyone"] as const).flatMap((estimand) => {
    const target = mitral.populationWeights({ treated, score }, { estimand });
    const byModel = {
      [`${estimand}Standardized`]: mitral.standardizedSurvival({ ...columns, target }, {
        times: horizons,
      }),
      [`${estimand}DoublyRobust`]: mitral.doublyRobustSurvival(columns, {
        times: horizons,
        population: estimand,
        models: { censoring: [] },
      }),
    };
    return Object.entries(byModel).flatMap(([design, { contrasts }]) =>
      contrasts.map(({ time, difference }): Estimate => ({
        quantity: "survival",
        design: design as DesignName,
        time,
        ...limitsOf(difference),
      }))
    );
  });
}

const endpointOf = {
  survival: "death",
  recurrenceFound: "recurrence",
  reoperation: "reoperation",
} as const;

function designsOf(
  followUp: mitral.EndpointFollowUp,
  { sample, closest, weightOf }: {
    sample: mitral.MatchedSample;
    closest: mitral.MatchedSample;
    weightOf: Record<string, Float64Array>;
  },
): [DesignName, mitral.DesignedFollowUp][] {
  const matched = mitral.underMatching(followUp, sample);
  const { cluster: _, ...asIndependent } = matched;
  return [
    ["unadjusted", mitral.unadjusted(followUp)],
    ["matched", matched],
    ["matchedAsIndependent", asIndependent],
    ["matchedClosest", mitral.underMatching(followUp, closest)],
    ...Object.entries(weightOf).map(([design, weight]): [DesignName, mitral.DesignedFollowUp] => [
      design as DesignName,
      mitral.underWeights(followUp, weight),
    ]),
  ];
}

function gapOf({ pairs, caliperWidth, propensity }: mitral.MatchedSample): number {
  const logit = propensity.linearPredictor;
  const sum = pairs.reduce((total, [one, other]) => total + logit[one]! - logit[other]!, 0);
  return sum / pairs.length / caliperWidth;
}

function logHazardRatio(design: DesignName, data: mitral.DesignedFollowUp): Estimate {
  const { time, event, group, weight } = data;
  const fit = mitral.coxRegression({
    time,
    event,
    weight,
    covariates: { repair: Float64Array.from(group) },
  });
  const term = fit.terms[0]!;
  return {
    quantity: "logHazardRatio",
    design,
    time: NaN,
    estimate: term.coefficient,
    standardError: term.robustStandardError ?? term.standardError,
    lower: Math.log(term.lower),
    upper: Math.log(term.upper),
  };
}

function limitsOf({ estimate, standardError, lower, upper }: mitral.Interval) {
  return { estimate, standardError, lower, upper };
}

type OwnTruth = ReturnType<typeof truthOf>;

/** Repair minus replacement in these patients, had each had both and had nobody been lost. */
export function truthOf(patients: PatientTruth[]) {
  const lastDay = Math.floor(Math.max(...horizons, meanHorizon) * daysPerYear);
  const days = horizons.map((years) => Math.floor(years * daysPerYear));
  const difference = (value: (patient: PatientTruth, arm: "repair" | "replacement") => number) => {
    const mean = (arm: "repair" | "replacement") => {
      const values = patients.map((one) => value(one, arm)).filter((x) => !Number.isNaN(x));
      return values.reduce((sum, x) => sum + x, 0) / values.length;
    };
    return mean("repair") - mean("replacement");
  };
  const found = new Map<PatientTruth, Record<"repair" | "replacement", number>>();
  for (const one of patients) {
    // those with residual regurgitation at exit are not at risk under that procedure
    const day = (arm: "repair" | "replacement") =>
      one.potential[arm].mrExit >= 2 ? NaN : one.discoveredUnder(arm, lastDay).day;
    found.set(one, { repair: day("repair"), replacement: day("replacement") });
  }
  return {
    survival: days.map((day) =>
      difference((one, arm) => one.potential[arm].deathDay > day ? 1 : 0)
    ),
    recurrenceFound: days.map((day) =>
      difference((one, arm) => {
        const when = found.get(one)![arm];
        return Number.isNaN(when) ? NaN : when <= day ? 1 : 0;
      })
    ),
    reoperation: days.map((day) =>
      difference((one, arm) => one.potential[arm].reoperationDay <= day ? 1 : 0)
    ),
    restrictedMean: difference((one, arm) =>
      Math.min(one.potential[arm].deathDay / daysPerYear, meanHorizon)
    ),
  };
}
