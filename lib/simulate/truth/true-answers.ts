import { checkNumber, SeededRandom } from "../../numerics/mod.ts";
import {
  chanceOfRepair,
  type CohortParameters,
  cohortParameters,
  daysPerYear,
  discovery,
  drawVisits,
  type Outcome,
  outcomes,
  type Patient,
  type Procedure,
  prognosis,
} from "../mechanism/mod.ts";
import { drawSeries, lastContactDay } from "../rows/mod.ts";
import {
  addToArms,
  armAnswers,
  armTallies,
  isTetheredOrLarge,
  type TechniqueComparison,
  type TrueArms,
} from "./arms.ts";
import { combine, type RawTree } from "./batches.ts";
import { Tally, type TallyEntry } from "./tally.ts";
import type { TrueComparison, TrueRatio } from "./true-values.ts";

/** True answers in one population. */
export interface TruePopulation {
  survival: TrueComparison;
  /** Incidence by true onset of >= 2+ among those with at most 1+ at exit. */
  recurrence: TrueComparison;
  /** The same by the day it is found at an echo visit, or a reoperation for it. */
  recurrenceFound: TrueComparison;
  /** Found at 3+ or worse. */
  severeRecurrenceFound: TrueComparison;
  reoperation: TrueComparison;
  /** A leak of >= 2+ on leaving theatre or found later, or a reoperation; everybody from day 0. */
  valveFailure: TrueComparison;
  /** Years lived up to the last horizon: one value. */
  restrictedMean: TrueComparison;
  /** Share with >= 2+ at exit, who are not at risk of recurrence: one value. */
  residual: TrueComparison;
  hazardRatios: {
    death: Record<"marginal" | "marginalAsFollowed" | "givenPrognosis", TrueRatio>;
    recurrenceFound: Record<"causeSpecific" | "subdistribution", TrueRatio>;
    reoperation: Record<"causeSpecific" | "subdistribution", TrueRatio>;
  };
}

/** Who is averaged over, and the plain comparison that confounding spoils. */
export type PopulationName =
  | "everyone"
  | "treated"
  | "overlap"
  | "unadjusted"
  | "degenerative"
  | "secondary"
  | "secondaryTetherAbove10"
  | "secondaryLveddFrom65"
  | "degenerativeOverlap"
  | "secondaryOverlap"
  | "secondaryTetheredOrLargeOverlap"
  | "lowEjectionFractionOverlap";

/** The true answers a cohort's estimates should recover. */
export interface TrueAnswers {
  seed: number;
  /** Patients drawn and, of these, eligible. */
  drawn: number;
  eligible: number;
  /** Batches behind the Monte-Carlo standard errors. */
  batches: number;
  /** Years; every list in the populations has one value a horizon. */
  horizons: number[];
  populations: Record<PopulationName, TruePopulation>;
  /** Comparisons of techniques, by their id in the demo's study file. */
  comparisons: Record<TechniqueComparison, TrueArms>;
}

/** The demo study's eligibility: a native valve, no endocarditis, no rare cause, no salvage. */
export function isEligible(patient: Patient): boolean {
  return patient.mechanism !== "endocarditis" && patient.mechanism !== "other" &&
    patient.urgency !== "salvage" && patient.redo === 0;
}

/**
 * The true answers, by simulating both potential outcomes of a great many patients.
 *
 * Every patient of repeated cohorts is followed under an intended repair and under an intended
 * replacement with the same draws. Populations are weights: everyone 1, treated e, overlap e(1-e),
 * with e the true propensity; unadjusted gives e to the repairs and 1-e to the replacements, which
 * is what a plain comparison of the groups tends to. Subgroups are of everyone, or where their name
 * says so of the overlap within them. Death and
 * reoperation for another cause compete with recurrence; death competes with reoperation.
 *
 * Hazard ratios are large-sample limits of proportional hazards models with intended repair as the
 * only term: everybody followed to the last horizon (`marginal`), or as long as the cohort was
 * (`marginalAsFollowed`), or with the true prognostic score held fixed (`givenPrognosis`).
 *
 * Monte-Carlo errors are those of the mean of batches. Cost: O(n), about 15 microseconds a
 * patient.
 *
 * @param options.n Patients to draw, about; at least one cohort a batch (default 400,000).
 * @throws {DataError} on a bad seed, size or horizon.
 */
export function trueAnswers(options: {
  seed: number;
  n?: number;
  horizons?: number[];
  batches?: number;
  parameters?: CohortParameters;
  eligible?: (patient: Patient) => boolean;
}): TrueAnswers {
  const parameters = options.parameters ?? cohortParameters;
  const horizons = options.horizons ?? [1, 5, 10];
  horizons.forEach((years) =>
    checkNumber("horizons", years, (y) => y > 0 && y <= 13, "in (0, 13]")
  );
  const batches = checkNumber("batches", options.batches ?? 20, (b) => b >= 2, "at least 2");
  const size = 1800;
  const cohorts = Math.max(1, Math.round((options.n ?? 400_000) / size / batches));
  const random = new SeededRandom(options.seed);
  const results: RawTree[] = [];
  const armResults: RawTree[] = [];
  let eligible = 0;
  for (let batch = 0; batch < batches; batch++) {
    const tallies = newTallies(horizons, parameters);
    const arms = armTallies(() => newTally(horizons, parameters));
    for (let k = 0; k < cohorts; k++) {
      const stream = random.fork(batch * cohorts + k);
      for (const patient of drawSeries(stream, { n: size, parameters })) {
        if (!(options.eligible ?? isEligible)(patient)) continue;
        eligible++;
        addPatient(tallies, patient, { parameters, horizons });
        addToArms(arms, patient, {
          parameters,
          entryOf: (outcome) => entryOf(patient, outcome, { parameters, horizons }),
        });
      }
    }
    results.push(answersOf(tallies, horizons));
    armResults.push(armAnswers(arms, horizons));
  }
  return {
    seed: options.seed,
    drawn: batches * cohorts * size,
    eligible,
    batches,
    horizons,
    populations: combine(results) as TrueAnswers["populations"],
    comparisons: combine(armResults) as TrueAnswers["comparisons"],
  };
}

type Pair = Record<Procedure, Tally>;

const names: readonly PopulationName[] = [
  "everyone",
  "treated",
  "overlap",
  "unadjusted",
  "degenerative",
  "secondary",
  "secondaryTetherAbove10",
  "secondaryLveddFrom65",
  "degenerativeOverlap",
  "secondaryOverlap",
  "secondaryTetheredOrLargeOverlap",
  "lowEjectionFractionOverlap",
];

function newTally(horizons: number[], parameters: CohortParameters): Tally {
  const limit = Math.floor(Math.max(...horizons) * daysPerYear);
  const longest = Math.ceil((parameters.closing - parameters.firstYear) * daysPerYear);
  return new Tally(limit, longest);
}

function newTallies(
  horizons: number[],
  parameters: CohortParameters,
): Record<PopulationName, Pair> {
  const pair = (): Pair => ({
    repair: newTally(horizons, parameters),
    replacement: newTally(horizons, parameters),
  });
  return Object.fromEntries(names.map((name) => [name, pair()])) as Record<PopulationName, Pair>;
}

function addPatient(
  tallies: Record<PopulationName, Pair>,
  patient: Patient,
  options: { parameters: CohortParameters; horizons: number[] },
): void {
  const { parameters } = options;
  const e = chanceOfRepair(patient, parameters);
  for (const intended of ["repair", "replacement"] as const) {
    const entry = entryOf(patient, outcomes(patient, intended, parameters), options);
    const add = (name: PopulationName, weight: number) => {
      entry.weight = weight;
      tallies[name][intended].add(entry);
    };
    add("everyone", 1);
    add("treated", e);
    add("overlap", e * (1 - e));
    add("unadjusted", intended === "repair" ? e : 1 - e);
    const within = e * (1 - e);
    if (patient.mechanism === "degenerative") {
      add("degenerative", 1);
      add("degenerativeOverlap", within);
    }
    if (patient.secondary) {
      add("secondary", 1);
      add("secondaryOverlap", within);
      if (patient.tether > 10) add("secondaryTetherAbove10", 1);
      if (patient.lvedd >= 65) add("secondaryLveddFrom65", 1);
      if (isTetheredOrLarge(patient)) add("secondaryTetheredOrLargeOverlap", within);
    }
    if (patient.lvef < 40) add("lowEjectionFractionOverlap", within);
  }
}

function entryOf(
  patient: Patient,
  outcome: Outcome,
  { parameters, horizons }: { parameters: CohortParameters; horizons: number[] },
): TallyEntry {
  const until = Math.floor(Math.max(...horizons) * daysPerYear);
  const recurrence = recurrenceOf(patient, outcome, { until, parameters });
  const { reoperationDay } = outcome;
  return {
    weight: 1,
    risk: Math.exp(prognosis(patient, parameters)),
    deathDay: outcome.deathDay,
    lastContactDay: lastContactDay(patient, parameters),
    reoperationDay,
    failureDay: outcome.mrExit >= 2 ? 0 : Math.min(recurrence.foundDay, reoperationDay),
    ...recurrence,
  };
}

function recurrenceOf(
  patient: Patient,
  outcome: Outcome,
  options: { until: number; parameters: CohortParameters },
): Pick<TallyEntry, "atRisk" | "onsetDay" | "foundDay" | "severeFoundDay" | "competingDay"> {
  const visits = drawVisits(patient, outcome, options);
  const found = discovery(outcome, visits, options);
  return {
    atRisk: outcome.mrExit < 2,
    onsetDay: outcome.onset * daysPerYear,
    foundDay: found.day,
    severeFoundDay: discovery(outcome, visits, { ...options, grade: 3 }).day,
    competingDay: found.competingDay,
  };
}

function answersOf(tallies: Record<PopulationName, Pair>, horizons: number[]): RawTree {
  const answers: Record<string, RawTree> = {};
  for (const [name, { repair, replacement }] of Object.entries(tallies)) {
    const compare = (of: (tally: Tally) => number[]) => {
      const first = of(repair);
      const second = of(replacement);
      return {
        repair: first,
        replacement: second,
        difference: first.map((value, k) => value - second[k]!),
      };
    };
    answers[name] = {
      survival: compare((t) => t.survival(horizons)),
      recurrence: compare((t) => t.incidence("onset", horizons)),
      recurrenceFound: compare((t) => t.incidence("found", horizons)),
      severeRecurrenceFound: compare((t) => t.incidence("severeFound", horizons)),
      reoperation: compare((t) => t.incidence("reoperation", horizons)),
      valveFailure: compare((t) => t.incidence("failure", horizons)),
      restrictedMean: compare((t) => [t.restrictedMean()]),
      residual: compare((t) => [t.residual()]),
      hazardRatios: repair.hazardRatios(replacement),
    };
  }
  return answers;
}
