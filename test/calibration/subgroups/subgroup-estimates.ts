import * as mitral from "mitral";
import { daysPerYear } from "../../../lib/simulate/mechanism/mod.ts";
import { type PatientTruth, simulateCohort } from "../../../lib/simulate/rows/mod.ts";
import type { Mix } from "../printed/mixes.ts";
import { aboutCohort } from "../printed/about-cohort.ts";
import type { PrintedCohort, PrintedEstimate } from "../printed/printed-estimates.ts";
import { readBack } from "../read-back.ts";

/** Sums behind a true share in each group, of one part of a cohort: they add up over cohorts. */
export interface TrueSums {
  /** Such as "recurrence, tether-above-10, inside". */
  part: string;
  /** Sum of weights, and of weights of those to whom it happened. */
  repair: [all: number, happened: number];
  replacement: [all: number, happened: number];
}

/** What one cohort gave. */
export interface SubgroupCohort extends PrintedCohort {
  sums: TrueSums[];
}

/**
 * Differences on either side of the plan's thresholds, those of populations against everybody else,
 * and those of populations that share no patient, drawn towards their mean: of one simulated
 * cohort, by the notebooks' own path, all at the main horizon.
 */
export async function subgroupEstimates(seed: number, mix: Mix): Promise<SubgroupCohort> {
  const simulated = simulateCohort({ seed, n: mix.n, parameters: mix.parameters });
  const analysis = await readBack(simulated);
  const patients = Array.from(analysis.rows, (row) => simulated.truth[row]!);
  const sample = mitral.weightedSample(analysis, analysis.study);
  const byThreshold = onBothSides(analysis, sample.weight);
  const byPopulation = againstTheRest(analysis);
  const until = Math.floor(analysis.study.mainHorizon * daysPerYear);
  const courses = patients.map((patient) => coursesOf(patient, until));
  const found = [...byThreshold, ...byPopulation];
  const parts = new Map(found.flatMap(({ sides }) => sides).map((side) => [side.part, side]));
  return {
    seed,
    ...aboutCohort(analysis, sample, patients),
    estimates: found.flatMap(({ estimates }) => estimates),
    sums: Array.from(parts.values(), ({ part, endpoint, rows }) => ({
      part,
      ...sumsOf(rows.map((row) => courses[row]!), endpoint),
    })),
  };
}

/** Estimates, and the patients whose truth they are held against. */
interface Found {
  estimates: PrintedEstimate[];
  sides: { part: string; endpoint: string; rows: number[] }[];
}

const limits = ({ estimate, standardError, lower, upper }: mitral.Interval) => (
  { estimate, standardError, lower, upper }
);

function onBothSides(analysis: mitral.Analysis, weight: Float64Array): Found[] {
  const { study } = analysis;
  const time = study.mainHorizon;
  const quantity = "recurrence";
  const followUp = mitral.followUpOf(analysis, quantity);
  const data = mitral.underWeights(followUp, weight);
  return study.thresholds.filter(({ purpose }) => purpose === "subgroup").map((threshold) => {
    const { lines } = mitral.thresholdSubgroups(analysis, {
      ...{ followUp, data, time },
      thresholds: [threshold],
    });
    const holds = mitral.thresholdHolds(analysis, threshold);
    const place = { quantity, design: "subgroup", population: threshold.id, time };
    const about = `${quantity}, ${threshold.id}`;
    const rowsWhere = (side: number) => [...holds.keys()].filter((row) => holds[row] === side);
    return {
      estimates: lines.flatMap(({ found: { inside, outside, interaction } }) => [
        { ...place, of: "inside", ...limits(inside.difference) },
        { ...place, of: "outside", ...limits(outside.difference) },
        { ...place, of: "inside - outside", ...limits(interaction) },
      ]),
      sides: [
        { part: `${about}, inside`, endpoint: quantity, rows: rowsWhere(1) },
        { part: `${about}, outside`, endpoint: quantity, rows: rowsWhere(0) },
      ],
    };
  });
}

function againstTheRest(analysis: mitral.Analysis): Found[] {
  const { heterogeneity } = mitral.populationAnswers(analysis);
  const time = analysis.study.mainHorizon;
  const rowsOf = new Map(mitral.populationsOf(analysis).map(({ id, rows }) => [id, rows]));
  // when a severe leak would have been found under the other operation is not on record
  const known = heterogeneity.filter(({ endpoint }) => endpoint !== "recurrence-severe");
  return known.map(({ endpoint, together, against }) => {
    const place = { quantity: endpoint, time };
    const ids = [...together.ids, ...against.map(({ id }) => id)];
    return {
      estimates: [
        ...together.shrunken.map((one, k) => ({
          ...{ ...place, design: "shrunken", population: together.ids[k]! },
          of: "inside",
          ...limits(one),
        })),
        ...against.flatMap(({ id, interaction }) =>
          interaction
            ? [{
              ...{ ...place, design: "against the rest", population: id },
              of: "inside - outside",
              ...limits(interaction),
            }]
            : []
        ),
      ],
      sides: ids.flatMap((id) => {
        const inside = new Set(rowsOf.get(id));
        const about = `${endpoint}, ${id}`;
        const rest = Array.from({ length: analysis.n }, (_, row) => row)
          .filter((row) => !inside.has(row));
        return [
          { part: `${about}, inside`, endpoint, rows: [...inside] },
          { part: `${about}, outside`, endpoint, rows: rest },
        ];
      }),
    };
  });
}

type Arm = "repair" | "replacement";

/** What happened to a patient under either operation, by endpoint; undefined if not at risk. */
interface Courses extends Record<Arm, Record<string, boolean | undefined>> {
  weight: number;
}

function coursesOf(
  { propensity, potential, discoveredUnder }: PatientTruth,
  until: number,
): Courses {
  const under = (arm: Arm) => {
    const { mrExit, deathDay, reoperationDay } = potential[arm];
    const found = discoveredUnder(arm, until).day <= until;
    const reoperation = reoperationDay <= until && reoperationDay <= deathDay;
    return {
      // as the report has it: alive
      death: deathDay > until,
      reoperation,
      "valve-failure": mrExit >= 2 || reoperation || found,
      recurrence: mrExit >= 2 ? undefined : found,
    };
  };
  return {
    weight: propensity * (1 - propensity),
    repair: under("repair"),
    replacement: under("replacement"),
  };
}

/** By the true overlap weights. */
function sumsOf(courses: readonly Courses[], endpoint: string): Omit<TrueSums, "part"> {
  const sums = (arm: Arm): [number, number] => {
    let [all, happened] = [0, 0];
    for (const { weight, ...under } of courses) {
      const value = under[arm][endpoint];
      if (value === undefined) continue;
      all += weight;
      if (value) happened += weight;
    }
    return [all, happened];
  };
  return { repair: sums("repair"), replacement: sums("replacement") };
}
