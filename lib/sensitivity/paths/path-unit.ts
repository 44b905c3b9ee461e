import {
  type DesignedFollowUp,
  matchedSample,
  underMatching,
  underWeights,
  weightedSample,
} from "../../balance/samples/mod.ts";
import { populationWeights } from "../../balance/weigh/mod.ts";
import { type StudyPropensity, studyPropensity } from "../../balance/score/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import {
  type EndpointFollowUp,
  followUpOf,
  recurrenceIntervals,
  recurrenceLookedFor,
} from "../../cohort/follow-up/mod.ts";
import { incidenceDifference, survivalDifference } from "../../competing/incidence/mod.ts";
import { DataError, type Interval } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { standardizedBothWays } from "../../survival/standardized/mod.ts";
import { betweenVisitsDifference } from "./between-visits-path.ts";
import {
  isBetweenVisits,
  type PathDesign,
  type Question,
  type ValveEndpoint,
} from "./study-choices.ts";

/** One sample of patients with one score: everything that can be estimated without another fit. */
export interface PathUnit {
  analysis: Analysis;
  /** With the score's form among its covariates. */
  study: Study;
  designs: readonly PathDesign[];
  questions: readonly Question[];
  endpoints: readonly ValveEndpoint[];
  /** Whether models of standardisation are wanted. */
  models: boolean;
}

/** One design's answer in a unit, or why there is none. */
export interface UnitAnswer {
  question: Question;
  design: PathDesign;
  endpoint?: ValveEndpoint;
  difference?: Interval & { pValue: number };
  reason?: string;
}

/**
 * The differences at the main horizon, repair minus replacement, by every design that shares a
 * sample and a score. A design that cannot be made in these patients says why.
 */
export function unitAnswers({ analysis, study, ...unit }: PathUnit): UnitAnswer[] {
  const time = study.mainHorizon;
  const { confidence } = study;
  let propensity: StudyPropensity;
  try {
    propensity = studyPropensity(analysis, study);
  } catch (error) {
    return everyQuestion(unit, study).map((asked) => ({ ...asked, reason: reasonOf(error) }));
  }
  const samples = new Map<PathDesign, (followUp: EndpointFollowUp) => DesignedFollowUp>();
  const sampleOf = (design: PathDesign) => {
    const before = samples.get(design);
    if (before) return before;
    const made = underDesign(analysis, study, design, propensity);
    samples.set(design, made);
    return made;
  };
  const followUps = new Map<string, EndpointFollowUp>();
  const followUpFor = (endpoint: ValveEndpoint | "death") => {
    const before = followUps.get(endpoint);
    if (before) return before;
    const made = followedTo(analysis, endpoint);
    followUps.set(endpoint, made);
    return made;
  };
  let modelled: ReturnType<typeof byModel> | undefined;
  return everyQuestion(unit, study).map((asked) => {
    const { question, design, endpoint } = asked;
    try {
      const times = { times: [time], confidence };
      if (design === "standardised" || design === "doubly-robust") {
        modelled ??= byModel(analysis, propensity, study);
        return { ...asked, ...checked(modelled[design]) };
      }
      if (endpoint === "between-visits") {
        const { weight } = weightedSample(analysis, study, { propensity });
        const looked = recurrenceLookedFor(analysis);
        const { seed } = study;
        return {
          ...asked,
          ...checked(betweenVisitsDifference(looked, weight, { time, seed, confidence })),
        };
      }
      const data = sampleOf(design)(followUpFor(endpoint ?? "death"));
      const [contrast] = question === "survival"
        ? survivalDifference(data, times)
        : incidenceDifference(data, { cause: 1, ...times });
      return { ...asked, ...checked(contrast!.difference) };
    } catch (error) {
      return { ...asked, reason: reasonOf(error) };
    }
  });
}

function everyQuestion(
  { designs, questions, endpoints, models }: Omit<PathUnit, "analysis" | "study">,
  study: Study,
): UnitAnswer[] {
  const isAsked = (endpoint: ValveEndpoint, design: PathDesign) =>
    endpoint !== "between-visits" || isBetweenVisits(study, design, models ? "planned" : "");
  const modelled: readonly PathDesign[] = ["standardised", "doubly-robust"];
  return questions.flatMap((question): UnitAnswer[] =>
    question === "survival"
      ? designs.filter((design) => models || !modelled.includes(design))
        .map((design) => ({ question, design }))
      : designs.filter((design) => !modelled.includes(design))
        .flatMap((design) =>
          endpoints.filter((endpoint) => isAsked(endpoint, design))
            .map((endpoint) => ({ question, design, endpoint }))
        )
  );
}

function underDesign(
  analysis: Analysis,
  study: Study,
  design: PathDesign,
  propensity: StudyPropensity,
): (followUp: EndpointFollowUp) => DesignedFollowUp {
  if (design === "overlap" || design === "everyone" || design === "treated") {
    const { weight } = weightedSample(analysis, study, { estimand: design, propensity });
    return (followUp) => underWeights(followUp, weight);
  }
  const matching = {
    ...study.matching,
    partners: 1,
    reuse: false,
    begin: design === "matched-descending" ? "highest" : "closest",
    search: design === "matched-optimal" ? "whole" : "one-by-one",
  } satisfies Study["matching"];
  const sample = matchedSample(analysis, { ...study, matching }, { propensity });
  return (followUp) => underMatching(followUp, sample);
}

/** Follow-up to the endpoint as it is found, or with its onset midway between two visits. */
function followedTo(analysis: Analysis, endpoint: ValveEndpoint | "death"): EndpointFollowUp {
  if (endpoint === "found") return followUpOf(analysis, "recurrence");
  if (endpoint !== "midway") {
    return followUpOf(analysis, endpoint as Parameters<typeof followUpOf>[1]);
  }
  const { rows, lower, upper, death, end, treated, leftOut } = recurrenceIntervals(analysis);
  const found = upper.map((time) => time < Infinity ? 1 : 0);
  return {
    ...followUpOf(analysis, "recurrence"),
    rows,
    time: end.map((time, i) => found[i] ? (lower[i]! + upper[i]!) / 2 : time),
    event: Int32Array.from(found, (one, i) => one ? 1 : Number.isNaN(death[i]) ? 0 : 2),
    treated,
    leftOut,
  };
}

/** By both models of standardisation, which share those of survival. */
function byModel(
  { treated, ...analysis }: Analysis,
  { design: { covariates }, score }: StudyPropensity,
  { estimand, confidence, mainHorizon }: Study,
) {
  const { time, event } = followUpOf({ treated, ...analysis }, "death");
  const target = populationWeights({ treated, score }, { estimand });
  const { standardized, doublyRobust } = standardizedBothWays(
    { time, event, treated, covariates, target },
    { times: [mainHorizon], confidence, population: estimand },
  );
  return {
    "standardised": standardized.contrasts[0]!.difference,
    "doubly-robust": doublyRobust.contrasts[0]!.difference,
  };
}

function checked(difference: Interval & { pValue: number }): Partial<UnitAnswer> {
  const { estimate, standardError, lower, upper, pValue } = difference;
  if (lower <= estimate && estimate <= upper) {
    return { difference: { estimate, standardError, lower, upper, pValue } };
  }
  return { reason: "The follow-up of a group ends before the main horizon." };
}

function reasonOf(error: unknown): string {
  if (error instanceof DataError) return `${error.message}.`;
  throw error;
}
