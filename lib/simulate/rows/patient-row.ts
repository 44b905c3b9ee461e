import type { SeededRandom } from "../../numerics/mod.ts";
import { operationDetails } from "./operation-details.ts";
import {
  clamp,
  type CohortParameters,
  daysPerYear,
  gradeAt,
  logistic,
  type Outcome,
  type Patient,
  tenth,
  whole,
} from "../mechanism/mod.ts";
import type { Blank, PatientRow } from "./rows.ts";

/** When a patient was last seen, had death not come first. */
export function lastContactDay(patient: Patient, parameters: CohortParameters): number {
  const closing = parameters.closing - parameters.contactSpread * patient.chance.contact;
  const administrative = Math.floor((closing - patient.operation.time) * daysPerYear);
  const lost = Math.ceil(patient.chance.loss / parameters.lossRate * daysPerYear);
  return Math.max(1, Math.min(administrative, lost));
}

/** Writes a patient as the registry would: what was observed, with blanks and rounding. */
export function patientRow(
  patient: Patient,
  outcome: Outcome,
  options: {
    id: string;
    sequence: number;
    parameters: CohortParameters;
    random: SeededRandom;
  },
): PatientRow {
  const { random, parameters } = options;
  const m = parameters.missing;
  const base = m.perYearBefore2017 * Math.max(0, 2017 - patient.year) +
    (patient.urgency === "elective" ? 0 : m.urgent);
  const maybe = (value: number, odds: number): number | Blank =>
    random.uniform() < logistic(odds + base) ? "" : value;
  const seen = lastContactDay(patient, parameters);
  const dead = outcome.deathDay <= seen ? 1 : 0;
  const days = dead ? outcome.deathDay : seen;
  const reint = outcome.reoperationDay <= days ? 1 : 0;
  const size = recordedVentricle(patient, random.bernoulli(parameters.deviceRounding) === 1);
  const severity = severityMeasures(patient, random);
  const details = operationDetails(patient, outcome, random);
  const phase = patient.secondary ? (random.bernoulli(0.8) ? "systole" : "diastole") : "";
  const ipmd = patient.secondary
    ? maybe(phase === "systole" ? patient.ipmd : tenth(patient.ipmd * 1.32, 8, 58), m.ipmd)
    : "";
  const gradient = outcome.final === "repair" ? 2.8 : 4.1;
  const los = whole(
    Math.exp(2.05 + 0.012 * (patient.age - 65) + 0.12 * (patient.nyha - 2) + 0.4 * random.normal()),
    3,
    120,
  );
  const complication = (odds: number) => random.bernoulli(logistic(odds));
  return {
    id: options.id,
    op_year: patient.year,
    surgeon: parameters.surgeons[patient.operation.surgeon]!.code,
    case_seq: options.sequence,
    age: patient.age,
    sex: patient.female ? "F" : "M",
    bsa: maybe(patient.bsa, m.bsa),
    nyha: patient.nyha,
    af_pre: patient.af,
    diabetes: patient.diabetes,
    hypertension: patient.hypertension,
    copd: patient.copd,
    egfr: maybe(patient.egfr, m.egfr),
    prior_mi: patient.priorMi,
    cad_vessels: patient.cadVessels,
    prior_stroke: patient.priorStroke,
    redo: patient.redo,
    urgency: patient.urgency,
    ie_active: patient.mechanism === "endocarditis" ? 1 : 0,
    risk_pct: maybe(predictedRisk(patient), m.risk_pct),
    aetiology: patient.mechanism,
    leaflet: patient.leaflet,
    mr_pre: patient.mrPre,
    eroa: maybe(severity.eroa, m.eroa),
    rvol: maybe(severity.rvol, m.rvol),
    rf: maybe(severity.rf, m.rf),
    vc: maybe(severity.vc, m.vc),
    ...size,
    tether: patient.secondary ? maybe(patient.tether, m.tether) : "",
    ipmd,
    ipmd_phase: ipmd === "" ? "" : phase,
    pasp: maybe(patient.pasp, m.pasp + (patient.trPre === 0 ? m.paspWithoutJet : 0)),
    tr_pre: patient.trPre,
    approach: details.approach,
    intended: outcome.intended,
    final: outcome.final,
    convert_reason: details.convert_reason,
    ring_type: details.ring_type,
    ring_mm: details.ring_mm,
    adjuncts: details.adjuncts,
    prosthesis: details.prosthesis,
    chordal_sparing: details.chordal_sparing,
    cabg_grafts: details.cabg_grafts,
    af_ablation: details.af_ablation,
    tricuspid: details.tricuspid,
    cpb: details.cpb,
    clamp: details.clamp,
    mr_exit: outcome.mrExit < 0 ? "" : outcome.mrExit,
    grad_exit: outcome.mrExit < 0
      ? ""
      : maybe(tenth(gradient + 1.1 * random.normal(), 0.8, 12), m.grad_exit),
    stroke_30: complication(-4.1 + 0.03 * (patient.age - 65)),
    bleed_reop: complication(-3.4),
    new_dialysis: complication(-4.2 - 0.025 * (patient.egfr - 75)),
    los: Math.min(los, days),
    fu_days: days,
    dead,
    death_cause: dead ? deathCause(patient, outcome, random) : "",
    reint,
    reint_day: reint ? outcome.reoperationDay : "",
    reint_reason: reint ? outcome.reoperationReason : "",
  };
}

function recordedVentricle(
  patient: Patient,
  rounded: boolean,
): Pick<PatientRow, "lvef" | "lvedd" | "lvesd"> {
  if (!rounded) return { lvef: patient.lvef, lvedd: patient.lvedd, lvesd: patient.lvesd };
  const lvedd = 5 * Math.round(patient.lvedd / 5);
  return {
    lvef: 5 * Math.round(patient.lvef / 5),
    lvedd,
    lvesd: Math.min(lvedd - 5, 5 * Math.round(patient.lvesd / 5)),
  };
}

/** Measures that agree with the reader's grade (bounds of the grades: ASE 2017), with noise. */
function severityMeasures(
  patient: Patient,
  random: SeededRandom,
): { eroa: number; rvol: number; rf: number; vc: number } {
  const grade = patient.mrPre + 0.5 + 0.3 * random.normal();
  const orifice = clamp(0.105 * grade - 0.03 + (grade > 4 ? 0.15 * (grade - 4) : 0), 0.05, 1.2);
  // at low flow the same orifice leaks less
  const flow = patient.secondary ? 128 : 155;
  return {
    eroa: Math.round(100 * orifice * (patient.secondary ? 0.9 : 1)) / 100,
    rvol: whole(orifice * flow * Math.exp(0.12 * random.normal()), 4, 180),
    rf: whole(11.5 * grade + 5 * random.normal(), 8, 80),
    vc: Math.round(100 * clamp(0.155 * grade + 0.05 * random.normal(), 0.1, 1.6)) / 100,
  };
}

/** An operative risk score's reading: from columns, no more than roughly calibrated. Invented. */
function predictedRisk(patient: Patient): number {
  const urgency = { elective: 0, urgent: 0.6, emergency: 1.4, salvage: 2.3 }[patient.urgency];
  const odds = -4.35 + 0.05 * (patient.age - 65) + 0.25 * (patient.nyha - 2) -
    0.02 * (patient.lvef - 55) - 0.012 * (patient.egfr - 75) + 0.6 * patient.redo + urgency +
    0.25 * patient.copd + (patient.cadVessels > 0 ? 0.3 : 0);
  return Math.round(1000 * logistic(odds)) / 10;
}

function deathCause(
  patient: Patient,
  outcome: Outcome,
  random: SeededRandom,
): "valve" | "cardiac" | "noncardiac" | "unknown" {
  const leaking = gradeAt(outcome.deathDay / daysPerYear, outcome) >= 2;
  const early = outcome.deathDay <= 30;
  const weights = early ? [0.12, 0.6, 0.23, 0.05] : [
    0.08 + (leaking ? 0.12 : 0) + (outcome.prosthesis === "" ? 0 : 0.06),
    patient.lvef < 45 ? 0.5 : 0.3,
    0.42,
    0.1,
  ];
  return (["valve", "cardiac", "noncardiac", "unknown"] as const)[random.choice(weights)]!;
}
