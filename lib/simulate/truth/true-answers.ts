import { checkNumber, DataError, SeededRandom } from "../../numerics/mod.ts";
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
import { type Raw, Tally, type TallyEntry } from "./tally.ts";

/** A true value, known up to the Monte-Carlo error of its simulation. */
export interface TrueValue {
  estimate: number;
  /** Monte-Carlo standard error. */
  standardError: number;
}

/** A true hazard ratio of repair against replacement. */
export interface TrueRatio {
  hazardRatio: number;
  logHazardRatio: number;
  /** Monte-Carlo standard error of the logarithm. */
  standardError: number;
}

/** A quantity in both groups, one value a horizon; difference = repair minus replacement. */
export interface TrueComparison {
  repair: TrueValue[];
  replacement: TrueValue[];
  difference: TrueValue[];
}

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
  | "secondaryLveddFrom65";

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
 * is what a plain comparison of the groups tends to. Subgroups are of everyone. Death and
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
  let eligible = 0;
  for (let batch = 0; batch < batches; batch++) {
    const tallies = newTallies(horizons, parameters);
    for (let k = 0; k < cohorts; k++) {
      const stream = random.fork(batch * cohorts + k);
      for (const patient of drawSeries(stream, { n: size, parameters })) {
        if (!(options.eligible ?? isEligible)(patient)) continue;
        eligible++;
        addPatient(tallies, patient, { parameters, horizons });
      }
    }
    results.push(answersOf(tallies, horizons));
  }
  return {
    seed: options.seed,
    drawn: batches * cohorts * size,
    eligible,
    batches,
    horizons,
    populations: combine(results) as TrueAnswers["populations"],
  };
}

type Pair = Record<Procedure, Tally>;
type RawTree = Raw | RawTree[] | { [name: string]: RawTree };

function newTallies(
  horizons: number[],
  parameters: CohortParameters,
): Record<PopulationName, Pair> {
  const limit = Math.floor(Math.max(...horizons) * daysPerYear);
  const longest = Math.ceil((parameters.closing - parameters.firstYear) * daysPerYear);
  const pair = (): Pair => ({
    repair: new Tally(limit, longest),
    replacement: new Tally(limit, longest),
  });
  return {
    everyone: pair(),
    treated: pair(),
    overlap: pair(),
    unadjusted: pair(),
    degenerative: pair(),
    secondary: pair(),
    secondaryTetherAbove10: pair(),
    secondaryLveddFrom65: pair(),
  };
}

function addPatient(
  tallies: Record<PopulationName, Pair>,
  patient: Patient,
  options: { parameters: CohortParameters; horizons: number[] },
): void {
  const { parameters } = options;
  const until = Math.floor(Math.max(...options.horizons) * daysPerYear);
  const e = chanceOfRepair(patient, parameters);
  for (const intended of ["repair", "replacement"] as const) {
    const outcome = outcomes(patient, intended, parameters);
    const entry: TallyEntry = {
      weight: 1,
      risk: Math.exp(prognosis(patient, parameters)),
      deathDay: outcome.deathDay,
      lastContactDay: lastContactDay(patient, parameters),
      reoperationDay: outcome.reoperationDay,
      ...recurrenceOf(patient, outcome, { until, parameters }),
    };
    const add = (name: PopulationName, weight: number) => {
      entry.weight = weight;
      tallies[name][intended].add(entry);
    };
    add("everyone", 1);
    add("treated", e);
    add("overlap", e * (1 - e));
    add("unadjusted", intended === "repair" ? e : 1 - e);
    if (patient.mechanism === "degenerative") add("degenerative", 1);
    if (patient.secondary) {
      add("secondary", 1);
      if (patient.tether > 10) add("secondaryTetherAbove10", 1);
      if (patient.lvedd >= 65) add("secondaryLveddFrom65", 1);
    }
  }
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
      restrictedMean: compare((t) => [t.restrictedMean()]),
      residual: compare((t) => [t.residual()]),
      hazardRatios: repair.hazardRatios(replacement),
    };
  }
  return answers;
}

/** Turns trees of numbers, one a batch, into one tree of means with their standard errors. */
function combine(trees: RawTree[]): unknown {
  const first = trees[0]!;
  if (typeof first === "number") return meanOf(trees as number[]);
  if (Array.isArray(first)) {
    return first.map((_, k) => combine((trees as RawTree[][]).map((tree) => tree[k]!)));
  }
  if ("logRatio" in first) {
    const log = meanOf(trees.map((tree) => (tree as { logRatio: number }).logRatio));
    return {
      hazardRatio: Math.exp(log.estimate),
      logHazardRatio: log.estimate,
      standardError: log.standardError,
    };
  }
  const branches = trees as { [name: string]: RawTree }[];
  return Object.fromEntries(
    Object.keys(first).map((name) => [name, combine(branches.map((tree) => tree[name]!))]),
  );
}

function meanOf(values: number[]): TrueValue {
  const n = values.length;
  values.forEach((value, batch) => {
    if (!Number.isFinite(value)) {
      throw new DataError("n", "large enough for events in every batch", value, batch);
    }
  });
  const mean = values.reduce((sum, value) => sum + value, 0) / n;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { estimate: mean, standardError: Math.sqrt(squares / (n - 1) / n) };
}
