import * as mitral from "mitral";
import { daysPerYear } from "../../../lib/simulate/mechanism/mod.ts";
import { type PatientTruth, simulateCohort } from "../../../lib/simulate/rows/mod.ts";
import { truthOf } from "../estimates.ts";
import { readBack } from "../read-back.ts";
import { visitSharesOf } from "../visits/visit-shares.ts";
import { type AboutCohort, aboutCohort } from "./about-cohort.ts";
import type { Mix } from "./mixes.ts";

/** Where an estimate belongs: what, how, in whom, of which group, when. */
export interface Place {
  /** Such as "survival" or "recurrence"; logarithms for ratios. */
  quantity: string;
  design: string;
  population: string;
  /** A group, or what is compared as "repair - replacement". */
  of: string;
  /** Years after operation; 0 where a quantity has none. */
  time: number;
}

/** One estimate of one cohort, with the truth in its very patients where that is the judge. */
export interface PrintedEstimate extends Place {
  estimate: number;
  standardError: number;
  lower: number;
  upper: number;
  own?: number;
}

/** What one cohort gave. */
export interface PrintedCohort extends AboutCohort {
  seed: number;
  estimates: PrintedEstimate[];
}

const armOf = (group: string | number) => Number(group) === 1 ? "repair" : "replacement";
const both = "repair - replacement";

/**
 * Years in each state alone, of a cohort whose other estimates are kept: what is to be done again
 * where only their limits have changed.
 */
export async function yearsInStates(seed: number, mix: Mix): Promise<PrintedEstimate[]> {
  const simulated = simulateCohort({ seed, n: mix.n, parameters: mix.parameters });
  const analysis = await readBack(simulated);
  const patients = Array.from(analysis.rows, (row) => simulated.truth[row]!);
  return months(analysis, mitral.weightedSample(analysis, analysis.study).weight, patients);
}

/** Every quantity that a report prints, of one simulated cohort, by the notebooks' own path. */
export async function printedEstimates(seed: number, mix: Mix): Promise<PrintedCohort> {
  const simulated = simulateCohort({ seed, n: mix.n, parameters: mix.parameters });
  const analysis = await readBack(simulated);
  const { study } = analysis;
  const patients = Array.from(analysis.rows, (row) => simulated.truth[row]!);
  const sample = mitral.weightedSample(analysis, study);
  const estimates = [
    ...inPopulations(analysis),
    ...betweenArms(analysis),
    ...ratios(analysis, sample.weight),
    ...lived(analysis, sample.weight),
    ...byModel(analysis, sample.propensity),
    ...months(analysis, sample.weight, patients),
    ...matched(analysis, sample.propensity, patients),
    ...rates(analysis),
    ...visitSharesOf(analysis, patients).map(({ counting, arm, truth, ...share }) => ({
      quantity: `leak among the living, ${counting}`,
      design: "weighted",
      population: "everyone",
      of: arm,
      standardError: (share.upper - share.lower) / (2 * 1.959964),
      own: truth,
      ...share,
    })),
  ];
  return { seed, ...aboutCohort(analysis, sample, patients), estimates };
}

const limits = ({ estimate, standardError, lower, upper }: mitral.Interval) => (
  { estimate, standardError, lower, upper }
);

/** Both groups and their difference, of every endpoint in every population of the plan. */
function inPopulations(analysis: mitral.Analysis): PrintedEstimate[] {
  return mitral.populationAnswers(analysis).populations.flatMap(({ population, endpoints }) =>
    endpoints.flatMap(({ endpoint, contrasts }) =>
      contrasts.flatMap(({ time, groups, difference }) => {
        const place = { quantity: endpoint, design: "weighted", population: population.id, time };
        return [
          { ...place, of: both, ...limits(difference) },
          ...groups.map((one) => ({ ...place, of: armOf(one.group), ...limits(one) })),
        ];
      })
    )
  );
}

/** Every pair of arms of the plan's further comparisons. */
function betweenArms(analysis: mitral.Analysis): PrintedEstimate[] {
  const { comparisons, mainHorizon } = analysis.study;
  return comparisons.flatMap((comparison) =>
    mitral.armAnswers(analysis, comparison).endpoints.flatMap(({ endpoint, contrasts }) =>
      contrasts.map(({ first, second, difference }) => ({
        quantity: endpoint,
        design: "arms",
        population: comparison.id,
        of: `${first} - ${second}`,
        time: mainHorizon,
        ...limits(difference),
      }))
    )
  );
}

/** Hazard ratios, as logarithms. */
function ratios(analysis: mitral.Analysis, weight: Float64Array): PrintedEstimate[] {
  const place = { design: "weighted", population: "everyone", of: both, time: 0 };
  const log = (quantity: string, one: { hazardRatio: number; lower: number; upper: number }) => ({
    quantity,
    ...place,
    estimate: Math.log(one.hazardRatio),
    standardError: Math.log(one.upper / one.lower) / (2 * 1.959964),
    lower: Math.log(one.lower),
    upper: Math.log(one.upper),
  });
  const of = (id: string) => mitral.underWeights(mitral.followUpOf(analysis, id), weight);
  return [
    log("log hazard ratio, death", mitral.groupHazardRatio(of("death"))),
    ...["recurrence", "reoperation"].flatMap((id) =>
      mitral.twoHazardRatios(of(id), { cause: 1 }).map((one) =>
        log(`log ${one.kind} hazard ratio, ${id}`, one)
      )
    ),
  ];
}

/** Years lived within the plan's horizon. */
function lived(analysis: mitral.Analysis, weight: Float64Array): PrintedEstimate[] {
  const data = mitral.underWeights(mitral.followUpOf(analysis, "death"), weight);
  const horizon = analysis.study.restrictedMeanHorizon;
  const { groups, difference } = mitral.restrictedMeanDifference(data, { horizon });
  const place = {
    quantity: "years lived",
    design: "weighted",
    population: "everyone",
    time: horizon,
  };
  return [
    { ...place, of: both, ...limits(difference) },
    ...groups.map((one) => ({ ...place, of: armOf(one.group), ...limits(one) })),
  ];
}

/** Survival by regression alone and doubly robust. */
function byModel(
  analysis: mitral.Analysis,
  propensity: mitral.StudyPropensity,
): PrintedEstimate[] {
  const { study } = analysis;
  const followUp = mitral.followUpOf(analysis, "death");
  const found = mitral.modelledSurvival(analysis, { study, followUp, propensity });
  return ([["standardised", found.standardized], ["doubly robust", found.doublyRobust]] as const)
    .flatMap(([design, contrasts]) =>
      contrasts.map(({ time, difference }) => ({
        quantity: "death",
        design,
        population: "everyone",
        of: both,
        time,
        ...limits(difference),
      }))
    );
}

const stages = ["alive, no recurrence", "alive, recurrence", "alive, operated again"];

/** Years of the first ones spent in each state. */
function months(
  analysis: mitral.Analysis,
  weight: Float64Array,
  patients: readonly PatientTruth[],
): PrintedEstimate[] {
  const horizon = analysis.study.mainHorizon;
  const course = mitral.valveCourse(analysis);
  const { time } = mitral.valveStates(course, { weight, horizon, labels: analysis.groups.labels });
  const truth = trueYears(patients, horizon);
  return time.slice(0, stages.length).flatMap(({ groups, difference }, k) => {
    const place = {
      quantity: `years ${stages[k]}`,
      design: "weighted",
      population: "everyone",
      time: horizon,
    };
    const [repair, replacement] = [truth.repair[k]!, truth.replacement[k]!];
    return [
      { ...place, of: both, ...limits(difference), own: repair - replacement },
      ...groups.map((one) => ({
        ...place,
        of: armOf(one.group),
        ...limits(one),
        own: truth[armOf(one.group)][k]!,
      })),
    ];
  });
}

/** Mean years in each state in these patients under either operation, by the overlap weights. */
function trueYears(patients: readonly PatientTruth[], horizon: number) {
  const last = Math.floor(horizon * daysPerYear);
  const mean = (arm: "repair" | "replacement") => {
    const sum = new Float64Array(stages.length);
    let total = 0;
    for (const { propensity: e, potential, discoveredUnder } of patients) {
      const { mrExit, deathDay, reoperationDay } = potential[arm];
      // those with a leak at exit are not at risk of one
      if (mrExit >= 2) continue;
      const weight = e * (1 - e);
      const end = Math.min(deathDay, last);
      const again = Math.min(reoperationDay, end);
      const found = Math.min(discoveredUnder(arm, last).day, again);
      total += weight;
      [found, again - found, end - again].forEach((days, k) => sum[k]! += weight * days);
    }
    return sum.map((days) => days / total / daysPerYear);
  };
  return { repair: mean("repair"), replacement: mean("replacement") };
}

/** Differences in matched pairs, against the truth in the very patients matched. */
function matched(
  analysis: mitral.Analysis,
  propensity: mitral.StudyPropensity,
  patients: readonly PatientTruth[],
): PrintedEstimate[] {
  const { study } = analysis;
  const { horizons } = study;
  const sample = mitral.matchedSample(analysis, study, { propensity });
  const place = { design: "matched", population: "everyone", of: both };
  const own = truthOf(Array.from(sample.rows, (row) => patients[row]!));
  const truths = {
    death: own.survival,
    recurrence: own.recurrenceFound,
    reoperation: own.reoperation,
  };
  return (["death", "recurrence", "reoperation"] as const).flatMap((id) => {
    const data = mitral.underMatching(mitral.followUpOf(analysis, id), sample);
    const contrasts = id === "death"
      ? mitral.survivalDifference(data, { times: horizons })
      : mitral.incidenceDifference(data, { cause: 1, times: horizons });
    return contrasts.map(({ time, difference }, k) => (
      { quantity: id, ...place, time, ...limits(difference), own: truths[id][k]! }
    ));
  });
}

/** Late events per 100 patient-years, without adjustment. */
function rates(analysis: mitral.Analysis): PrintedEstimate[] {
  return (["death", "reoperation"] as const).flatMap((id) => {
    const { time, event, treated } = mitral.followUpOf(analysis, id);
    const first = Uint8Array.from(event, (code) => code === 1 ? 1 : 0);
    return mitral.linearisedRates({ time, event: first, group: treated }, { cuts: [1, 5] })
      .map(({ group, late }) => ({
        quantity: `late rate of ${id}`,
        design: "unadjusted",
        population: "everyone",
        of: armOf(group),
        time: 0,
        estimate: late.rate.estimate,
        standardError: (late.rate.upper - late.rate.lower) / (2 * 1.959964),
        lower: late.rate.lower,
        upper: late.rate.upper,
      }));
  });
}
