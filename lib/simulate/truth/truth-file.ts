import { demoCohort } from "../rows/mod.ts";
import { type CohortParameters, cohortParameters } from "../mechanism/mod.ts";
import type { TrueAnswers } from "./true-answers.ts";

/** What `data-demo/truth.json` holds. */
export interface TruthFile {
  about: string[];
  centre: string;
  /** The cohort in the same folder. */
  cohort: { seed: number; n: number };
  /** The log hazard ratios of a final replacement that the generator was given. */
  direct: { earlyDeath: number; lateDeath: number; recurrenceOnLateDeath: number };
  answers: TrueAnswers;
  parameters: CohortParameters;
}

const about = [
  "True answers of the synthetic cohort, by large-sample simulation. Everything here is invented.",
  "Groups are by intended procedure; difference = repair minus replacement; ratios are repair against replacement.",
  "Times are years of 365.25 days from operation. Lists have one value a horizon (restrictedMean and residual: one value).",
  "standardError is the Monte-Carlo error of this file, not the error of any estimate from 1,800 patients.",
  "Eligible: degenerative, ischaemic, functional or rheumatic, no previous heart operation, no salvage.",
  "Populations: everyone 1; treated e; overlap e(1 - e), with e the true chance that repair is intended; unadjusted: e for repairs and 1 - e for replacements, what a plain comparison tends to; the others are subgroups of everyone.",
  "survival: alive at the horizon, whatever else happened. restrictedMean: years lived up to the last horizon.",
  "recurrence: at most 1+ at exit (or dead in theatre), then >= 2+, counted at its true onset; death and reoperation for another cause compete.",
  "recurrenceFound: the same, counted on the day of the first echo with >= 2+ or of a reoperation for regurgitation, with the echo visits of this cohort and nobody lost: what an analysis by date of discovery estimates. severeRecurrenceFound: the same with >= 3+.",
  "valveFailure: >= 2+ at exit (day 0) or found later as in recurrenceFound, or any reoperation; death competes; everybody from day 0.",
  "Populations whose name ends in Overlap: e(1 - e) among the patients of that kind. secondaryTetheredOrLarge: secondary, with tethering above 10 mm or an end-diastolic diameter of 65 mm or more; lowEjectionFraction: below 40 %.",
  "comparisons: techniques, by their ids in the demo's study file, in the overlap of all arms (weight 1 / sum of 1 / chance of each arm). tethered-technique: what would have been seen under a repair without, a repair with a step below the valve, a replacement that spares chordae, nobody converted. access and ablation change nothing: their differences are 0.",
  "negative controls: by the demo's study file, an outcome (hypertension before the operation, which no operation changes) and an exposure (ablation on death): both differences are 0, and nothing unmeasured is planted.",
  "reoperation: any mitral reoperation; death competes. residual: >= 2+ at exit.",
  "hazardRatios: limits of models with intended repair as the only term. marginal: followed to the last horizon; marginalAsFollowed: followed as long as this cohort; givenPrognosis: the true prognostic score of late death held fixed. causeSpecific and subdistribution: followed to the last horizon. Hazards are not proportional, so these are averages over time.",
  "direct: what the generator was given for the final procedure, all else (and recurrence) equal; intended procedures differ by less, because some are converted, and by recurrence.",
];

/** Writes the true answers of the demo cohort, six significant digits, with all parameters. */
export function truthFile(answers: TrueAnswers): string {
  const p = cohortParameters;
  const truth: TruthFile = {
    about,
    centre: p.centre,
    cohort: demoCohort,
    direct: {
      earlyDeath: p.earlyDeath.replacement,
      lateDeath: p.lateDeath.replacement,
      recurrenceOnLateDeath: p.lateDeath.recurrence,
    },
    answers,
    parameters: p,
  };
  const sixDigits = (_: string, value: unknown) =>
    typeof value === "number" && !Number.isInteger(value) ? Number(value.toPrecision(6)) : value;
  return JSON.stringify(truth, sixDigits, 2) + "\n";
}
