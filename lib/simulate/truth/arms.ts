import {
  chanceOfAblation,
  chanceOfConversion,
  chanceOfLimitedAccess,
  chanceOfRepair,
  chanceOfSubvalvular,
  chancesOfSparing,
  type CohortParameters,
  type Outcome,
  outcomes,
  type Patient,
} from "../mechanism/mod.ts";
import type { RawTree } from "./batches.ts";
import type { Tally, TallyEntry } from "./tally.ts";
import type { TrueValue } from "./true-values.ts";

/** Comparisons of techniques in the demo's study file, by their ids there. */
export type TechniqueComparison = "tethered-technique" | "access" | "ablation";

/** True answers of several arms in the overlap of a population: those who could have had any. */
export interface TrueArms {
  /** By the arm's id, one value a horizon. */
  arms: Record<string, TrueArm>;
  /** The first named minus the second, every pair, as "ring-alone - sparing". */
  differences: Record<string, TrueArm>;
}

/** True answers of one arm. */
export type TrueArm = Record<
  "survival" | "valveFailure" | "recurrenceFound" | "reoperation",
  TrueValue[]
>;

/** Tethering above 10 mm or an end-diastolic diameter of 65 mm or more, in secondary disease. */
export function isTetheredOrLarge(patient: Patient): boolean {
  return patient.secondary && (patient.tether > 10 || patient.lvedd >= 65);
}

/** One arm of a comparison: how likely this patient is in it, and what then happens. */
interface TrueArmOf {
  chance: number;
  /** Outcomes under it and how likely each of them is. */
  outcomes: () => [outcome: Outcome, share: number][];
}

type Design = Record<TechniqueComparison, {
  includes: (patient: Patient) => boolean;
  arms: Record<string, (patient: Patient, parameters: CohortParameters) => TrueArmOf>;
}>;

const designs: Design = {
  "tethered-technique": {
    includes: isTetheredOrLarge,
    arms: {
      "ring-alone": (patient, p) => repairedWith(patient, p, false),
      "ring-and-subvalvular": (patient, p) => repairedWith(patient, p, true),
      "sparing-replacement": (patient, p) => {
        const [none = 0] = chancesOfSparing(patient);
        return {
          chance: (1 - chanceOfFinalRepair(patient, p)) * (1 - none),
          outcomes: () => [[outcomes(patient, "replacement", p, { converted: false }), 1]],
        };
      },
    },
  },
  access: {
    includes: (patient) => patient.lvef < 40,
    arms: {
      limited: (patient, p) => asItComes(patient, p, chanceOfLimitedAccess(patient)),
      sternotomy: (patient, p) => asItComes(patient, p, 1 - chanceOfLimitedAccess(patient)),
    },
  },
  ablation: {
    includes: (patient) => patient.af !== "none",
    arms: {
      ablated: (patient, p) => asItComes(patient, p, chanceOfAblation(patient)),
      "not-ablated": (patient, p) => asItComes(patient, p, 1 - chanceOfAblation(patient)),
    },
  },
};

function chanceOfFinalRepair(patient: Patient, parameters: CohortParameters): number {
  const e = chanceOfRepair(patient, parameters);
  return e * (1 - chanceOfConversion(patient, parameters)) +
    (1 - e) * parameters.conversion.repairPossible;
}

function repairedWith(
  patient: Patient,
  parameters: CohortParameters,
  subvalvular: boolean,
): TrueArmOf {
  const below = chanceOfSubvalvular(patient);
  return {
    chance: chanceOfFinalRepair(patient, parameters) * (subvalvular ? below : 1 - below),
    outcomes: () => [[
      outcomes(patient, "repair", parameters, { converted: false, subvalvular }),
      1,
    ]],
  };
}

/** An arm that changes no outcome: repair or replacement, each as likely as it is anyway. */
function asItComes(patient: Patient, parameters: CohortParameters, chance: number): TrueArmOf {
  const e = chanceOfRepair(patient, parameters);
  return {
    chance,
    outcomes: () => [
      [outcomes(patient, "repair", parameters), e],
      [outcomes(patient, "replacement", parameters), 1 - e],
    ],
  };
}

/** A tally for every arm. */
export type ArmTallies = Record<TechniqueComparison, Record<string, Tally>>;

/** Empty tallies of every arm. */
export function armTallies(empty: () => Tally): ArmTallies {
  const of = (id: TechniqueComparison) =>
    Object.fromEntries(Object.keys(designs[id].arms).map((arm) => [arm, empty()]));
  return {
    "tethered-technique": of("tethered-technique"),
    access: of("access"),
    ablation: of("ablation"),
  };
}

/**
 * Adds a patient to every arm of the comparisons that include it, with the weight of those who
 * could have been in any arm, 1 / sum of 1 / chance.
 */
export function addToArms(
  tallies: ArmTallies,
  patient: Patient,
  { parameters, entryOf }: {
    parameters: CohortParameters;
    entryOf: (outcome: Outcome) => TallyEntry;
  },
): void {
  for (const [id, { includes, arms }] of Object.entries(designs)) {
    if (!includes(patient)) continue;
    const each = Object.entries(arms).map(([arm, of]) => ({ arm, ...of(patient, parameters) }));
    const overlap = 1 / each.reduce((sum, { chance }) => sum + 1 / chance, 0);
    if (!(overlap > 0)) continue;
    for (const { arm, outcomes } of each) {
      const tally = tallies[id as TechniqueComparison][arm]!;
      for (const [outcome, share] of outcomes()) {
        tally.add({ ...entryOf(outcome), weight: overlap * share });
      }
    }
  }
}

/** What the tallies of one batch say of every arm and every pair of arms. */
export function armAnswers(tallies: ArmTallies, horizons: number[]): RawTree {
  const answers: Record<string, RawTree> = {};
  for (const [id, arms] of Object.entries(tallies)) {
    const of = Object.fromEntries(
      Object.entries(arms).map(([arm, tally]) => [arm, {
        survival: tally.survival(horizons),
        valveFailure: tally.incidence("failure", horizons),
        recurrenceFound: tally.incidence("found", horizons),
        reoperation: tally.incidence("reoperation", horizons),
      }]),
    );
    const differences: Record<string, RawTree> = {};
    const names = Object.keys(of);
    names.forEach((first, i) =>
      names.slice(i + 1).forEach((second) => {
        const [one, other] = [of[first]!, of[second]!];
        const minus = (quantity: keyof typeof one) =>
          one[quantity].map((value, k) => value - other[quantity][k]!);
        differences[`${first} - ${second}`] = {
          survival: minus("survival"),
          valveFailure: minus("valveFailure"),
          recurrenceFound: minus("recurrenceFound"),
          reoperation: minus("reoperation"),
        };
      })
    );
    answers[id] = { arms: of, differences };
  }
  return answers;
}
