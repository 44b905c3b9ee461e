import { SeededRandom } from "../../numerics/mod.ts";
import type { CohortParameters } from "./parameters.ts";
import { logistic, type Patient } from "./patient.ts";

/** How the operation is done, beside repair or replacement: the same draws under either. */
export interface Technique {
  /** Steps of the repair, if the valve is repaired. */
  adjuncts: string[];
  /** Chordae kept, if the valve is replaced. */
  sparing: "none" | "posterior" | "complete";
  approach: "sternotomy" | "mini" | "robotic";
  ablation: 0 | 1;
}

/** Steps of a repair that act on the papillary muscles or on secondary chordae. */
export const subvalvularSteps = ["chordal_cutting", "pm_approximation", "pm_relocation"];

/**
 * Draws how a patient is operated, from a stream of its own.
 *
 * Each choice depends on columns recorded before the operation, and on nothing else. Shares are
 * invented, after common practice (no source).
 */
export function techniqueOf(patient: Patient): Technique {
  const random = new SeededRandom(patient.chance.detailSeed + 4294967296);
  const steps = chancesOfSteps(patient);
  const adjuncts = Object.keys(steps).filter((name) => random.bernoulli(steps[name]!));
  const weights = chancesOfSparing(patient);
  const sparing = (["none", "posterior", "complete"] as const)[random.choice(weights)]!;
  const limited = random.bernoulli(chanceOfLimitedAccess(patient));
  const robotic = random.bernoulli(0.25) && patient.year >= 2017;
  return {
    adjuncts,
    sparing,
    approach: limited ? (robotic ? "robotic" : "mini") : "sternotomy",
    ablation: random.bernoulli(chanceOfAblation(patient)),
  };
}

/** Whether a repair of this patient takes a step below the valve. */
export function isSubvalvular({ adjuncts }: Pick<Technique, "adjuncts">): boolean {
  return adjuncts.some((name) => subvalvularSteps.includes(name));
}

/** Chance of each other step, if the valve is repaired. */
export function chancesOfSteps(patient: Patient): Record<string, number> {
  if (patient.secondary) {
    return {
      chordal_cutting: patient.tether > 10 ? 0.24 : 0.06,
      pm_approximation: patient.ipmd > 20 ? 0.24 : 0.05,
      pm_relocation: patient.tether > 10 ? 0.1 : 0.02,
      edge_to_edge: 0.03,
    };
  }
  if (patient.mechanism !== "degenerative") return { neochordae: 0.2, resection: 0.2 };
  return {
    neochordae: patient.leaflet === "posterior" ? 0.42 : 0.72,
    resection: patient.leaflet === "anterior" ? 0.05 : 0.45,
    edge_to_edge: patient.leaflet === "posterior" ? 0.02 : 0.08,
  };
}

/** Chance of a step below the valve, if the valve is repaired. */
export function chanceOfSubvalvular(patient: Patient): number {
  const steps = chancesOfSteps(patient);
  return 1 - subvalvularSteps.reduce((none, name) => none * (1 - (steps[name] ?? 0)), 1);
}

/** Shares of no chordae, the posterior ones and all kept, if the valve is replaced. */
export function chancesOfSparing(patient: Patient): number[] {
  return patient.mechanism === "rheumatic" ? [0.4, 0.48, 0.12] : [0.1, 0.4, 0.5];
}

/** Chance of another way in than a full sternotomy. It has no effect on any outcome. */
export function chanceOfLimitedAccess(patient: Patient): number {
  if (patient.redo === 1) return 0;
  if (patient.secondary) {
    return logistic(
      -0.5 + 0.16 * (patient.year - 2017) - 0.8 * patient.cadVessels -
        0.03 * (patient.age - 66) - 0.35 * (patient.nyha - 3) -
        (patient.urgency === "elective" ? 0 : 1),
    );
  }
  const suits = patient.mechanism === "degenerative" && patient.urgency === "elective" &&
    patient.cadVessels === 0;
  return suits ? Math.min(0.5, Math.max(0, 0.06 * (patient.year - 2010))) : 0;
}

/** Chance of ablation where there is atrial fibrillation. It has no effect on any outcome. */
export function chanceOfAblation(patient: Patient): number {
  if (patient.af === "none") return 0;
  return logistic(
    0.4 - 0.04 * (patient.age - 68) + 0.08 * (patient.year - 2017) +
      0.02 * (patient.lvef - 50) - (patient.af === "persistent" ? 0.4 : 0) -
      (patient.urgency === "elective" ? 0 : 0.6),
  );
}

/** Log ratio by which a step below the valve changes the hazard of recurrence. */
export function subvalvularEffect(parameters: CohortParameters): number {
  return parameters.effect === "none" ? 0 : parameters.recurrence.subvalvular;
}
