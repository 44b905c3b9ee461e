import type { SeededRandom } from "../../numerics/mod.ts";
import { clamp, type Outcome, type Patient, techniqueOf, whole } from "../mechanism/mod.ts";
import type { PatientRow } from "./rows.ts";

/** Columns that describe the operation. */
export type OperationDetails = Pick<
  PatientRow,
  | "approach"
  | "convert_reason"
  | "ring_type"
  | "ring_mm"
  | "adjuncts"
  | "prosthesis"
  | "chordal_sparing"
  | "cabg_grafts"
  | "af_ablation"
  | "tricuspid"
  | "cpb"
  | "clamp"
>;

/** Draws how the operation was done. Shares are invented, after common practice (no source). */
export function operationDetails(
  patient: Patient,
  outcome: Outcome,
  random: SeededRandom,
): OperationDetails {
  const { intended, final } = outcome;
  const repaired = final === "repair";
  const converted = intended !== final;
  const { adjuncts, sparing, approach, ablation } = techniqueOf(patient);
  const ring = repaired ? ringOf(patient, random) : { type: "" as const, mm: "" as const };
  const grafts = patient.cadVessels === 0
    ? 0
    : random.bernoulli(0.85)
    ? whole(patient.cadVessels + 0.7 * random.normal(), 1, 6)
    : 0;
  const tricuspid = patient.trPre >= 2 && random.bernoulli(0.2 * patient.trPre)
    ? (random.bernoulli(0.04) ? "replacement" : "repair")
    : "none";
  const minutes = 78 + 14 * grafts + 14 * ablation + (tricuspid === "none" ? 0 : 16) +
    (intended === "repair" ? 8 + 9 * patient.complexity : 0) + (converted ? 48 : 0) +
    (approach === "sternotomy" ? 0 : 18);
  const clampMinutes = whole(minutes * Math.exp(0.2 * random.normal()), 30, 450);
  return {
    approach,
    convert_reason: converted ? reasonOf(outcome, patient, random) : "",
    ring_type: ring.type,
    ring_mm: ring.mm,
    adjuncts: repaired ? adjuncts.join(";") : "",
    prosthesis: outcome.prosthesis,
    chordal_sparing: repaired ? "" : sparing,
    cabg_grafts: grafts,
    af_ablation: ablation,
    tricuspid,
    cpb: whole(clampMinutes * 1.1 + 26 + 10 * Math.abs(random.normal()), clampMinutes, 680),
    clamp: clampMinutes,
  };
}

function ringOf(
  patient: Patient,
  random: SeededRandom,
): { type: PatientRow["ring_type"]; mm: PatientRow["ring_mm"] } {
  const types = ["none", "rigid", "semirigid", "flexible", "band"] as const;
  const type = types[
    random.choice(patient.secondary ? [0.01, 0.52, 0.35, 0.06, 0.06] : [0.04, 0.1, 0.36, 0.2, 0.3])
  ]!;
  const middle = (patient.secondary ? 28 : 33) + (patient.female ? -1.5 : 1);
  // rings come in even sizes
  const mm = 2 * Math.round(clamp(middle + 2 * random.normal(), 24, 40) / 2);
  return { type, mm: type === "none" ? "" : mm };
}

function reasonOf(outcome: Outcome, patient: Patient, random: SeededRandom): string {
  if (outcome.final === "repair") return "repair_possible";
  const reasons = [
    "residual_regurgitation",
    "systolic_anterior_motion",
    "stenosis",
    "tissue_quality",
    "exposure",
    "other",
  ];
  const weights = patient.mechanism === "degenerative"
    ? [0.5, 0.2, 0.05, 0.15, 0.06, 0.04]
    : [0.5, 0.02, 0.12, 0.26, 0.06, 0.04];
  return reasons[random.choice(weights)]!;
}
