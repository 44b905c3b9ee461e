import { isConverted, type Procedure } from "./assignment.ts";
import type { CohortParameters } from "./parameters.ts";
import type { Patient } from "./patient.ts";
import { isSubvalvular, subvalvularEffect, techniqueOf } from "./technique.ts";

/** Days in a year, everywhere in the generator. */
export const daysPerYear = 365.25;

/**
 * What happens to a patient under one intended procedure if nobody stops looking. Days are whole
 * days from operation, Infinity where the event does not happen before death.
 */
export interface Outcome {
  intended: Procedure;
  final: Procedure;
  prosthesis: "" | "mechanical" | "bioprosthesis";
  /** 0 for a death in theatre. */
  deathDay: number;
  theatreDeath: boolean;
  /** Grade at exit; -1 after a death in theatre. */
  mrExit: number;
  /** Years (not rounded) to the onset of regurgitation >= 2+; 0 where residual at exit. */
  onset: number;
  /** Years at which the grade becomes 3, becomes 4, or falls back to 1 for good. */
  reaches3: number;
  reaches4: number;
  regresses: number;
  reoperationDay: number;
  reoperationReason: "" | "MR" | "stenosis" | "endocarditis" | "thrombosis" | "other";
}

/** Linear predictor of the late death hazard, without the procedure: the true prognostic score. */
export function prognosis(patient: Patient, parameters: CohortParameters): number {
  const d = parameters.lateDeath;
  return parameters.mechanisms[patient.mechanism].lateDeath +
    d.perYearOfAge * (patient.age - 65) +
    d.perNyhaClass * (patient.nyha - 2) +
    d.perPercentLvef * (patient.lvef - 55) +
    d.perMmLvesdAbove40 * Math.max(0, patient.lvesd - 40) +
    d.perUnitEgfr * (patient.egfr - 75) +
    d.diabetes * patient.diabetes +
    d.copd * patient.copd +
    (patient.af === "persistent" ? d.persistentAf : 0);
}

/** Log cumulative hazard, at one year, of recurrent regurgitation after repair. */
export function recurrenceRisk(
  patient: Patient,
  parameters: CohortParameters,
  subvalvular: boolean,
): number {
  const r = parameters.recurrence;
  let risk = parameters.mechanisms[patient.mechanism].recurrence;
  if (patient.leaflet === "anterior") risk += r.anterior;
  if (patient.leaflet === "both") risk += r.both;
  if (patient.secondary) {
    if (subvalvular) risk += subvalvularEffect(parameters);
    risk += above(patient.tether, r.tetherMark, r.tetherAbove, r.perMmTetherAbove) +
      above(patient.lvedd, r.lveddMark, r.lveddAbove, r.perMmLveddAbove) +
      above(patient.ipmd, r.ipmdMark, r.ipmdAbove, r.perMmIpmdAbove);
  }
  return risk;
}

/** What is done in place of what would have come about. */
export interface Done {
  converted?: boolean;
  subvalvular?: boolean;
}

/**
 * The potential outcome under an intended procedure. Both procedures use the same draws, so their
 * difference within a patient is due to the procedure alone.
 *
 * @param done Fixes the technique, for the outcome under that technique.
 */
export function outcomes(
  patient: Patient,
  intended: Procedure,
  parameters: CohortParameters,
  done: Done = {},
): Outcome {
  const { chance } = patient;
  const converted = done.converted ?? isConverted(patient, intended, parameters);
  const final = converted ? (intended === "repair" ? "replacement" : "repair") : intended;
  // under no effect, everybody follows the law of a repair that went as intended
  const none = parameters.effect === "none";
  const replaced = final === "replacement" && !none;
  const prosthesis = final === "repair"
    ? ""
    : chance.prosthesis < mechanicalShare(patient.age)
    ? "mechanical"
    : "bioprosthesis";
  const early = earlyDeath(patient, parameters, replaced, converted && !none);
  const theatreDeath = early * daysPerYear < parameters.earlyDeath.theatreDays;

  const residual = residualGrade(patient, parameters, replaced);
  const mild = replaced ? parameters.exit.mildAfterReplacement : parameters.exit.mildAfterRepair;
  const mrExit = theatreDeath ? -1 : residual > 0 ? residual : chance.exitMild < mild ? 1 : 0;
  const r = parameters.recurrence;
  const subvalvular = done.subvalvular ??
    (patient.secondary && isSubvalvular(techniqueOf(patient)));
  const onset = residual > 0
    ? 0
    : replaced
    ? (chance.onset / r.leak) ** (1 / r.leakShape)
    : (chance.onset / Math.exp(recurrenceRisk(patient, parameters, subvalvular))) ** (1 / r.shape);

  const course = parameters.course;
  const regresses = chance.regresses < course.regresses
    ? onset + course.yearsToRegress * chance.toRegress
    : Infinity;
  const reaches3 = residual === 3 || chance.startsAt3 < course.startsAt3
    ? onset
    : onset + course.yearsTo3 * chance.to3;
  const reaches4 = reaches3 + course.yearsTo4 * chance.to4;
  const path = { onset, reaches3, reaches4, regresses };

  const forLeak = reoperationForLeak(patient, parameters, path);
  const forOther = reoperationForOther(patient, parameters, none ? "" : prosthesis);
  const reoperation = Math.min(forLeak, forOther.years);
  const late = lateDeath(patient, parameters, {
    replaced,
    from: onset,
    to: Math.min(regresses, reoperation),
  });
  let deathDay = theatreDeath ? 0 : dayOf(Math.min(early, late));
  let reoperationDay = dayOf(reoperation);
  if (reoperationDay >= deathDay) {
    reoperationDay = Infinity;
  } else if (chance.reoperationDeath < parameters.reoperation.deathRisk) {
    deathDay = Math.min(deathDay, reoperationDay + Math.ceil(30 * chance.reoperationDeathDay));
  }
  return {
    intended,
    final,
    prosthesis,
    deathDay,
    theatreDeath,
    mrExit,
    ...path,
    reoperationDay,
    reoperationReason: reoperationDay === Infinity
      ? ""
      : forLeak <= forOther.years
      ? "MR"
      : forOther.reason,
  };
}

/** The true grade (0 stands for 0 or 1) at a time in years, until any reoperation. */
export function gradeAt(
  years: number,
  path: Pick<Outcome, "onset" | "reaches3" | "reaches4" | "regresses">,
): number {
  if (years < path.onset || years >= path.regresses) return 0;
  return years >= path.reaches4 ? 4 : years >= path.reaches3 ? 3 : 2;
}

function mechanicalShare(age: number): number {
  return age < 55 ? 0.75 : age < 65 ? 0.45 : age < 70 ? 0.15 : 0.03;
}

function earlyDeath(
  patient: Patient,
  parameters: CohortParameters,
  replaced: boolean,
  converted: boolean,
): number {
  const d = parameters.earlyDeath;
  const total = Math.exp(
    d.base + parameters.mechanisms[patient.mechanism].earlyDeath +
      d.perYearOfAge * (patient.age - 65) +
      d.perNyhaClass * (patient.nyha - 2) +
      d.perPercentLvef * (patient.lvef - 55) +
      d.perUnitEgfr * (patient.egfr - 75) +
      d.redo * patient.redo +
      (patient.urgency === "elective" ? 0 : d[patient.urgency]) +
      (replaced ? d.replacement : 0) + (converted ? d.conversion : 0),
  );
  const spent = patient.chance.earlyDeath / total;
  return spent < 1 ? -d.meanDays / daysPerYear * Math.log(1 - spent) : Infinity;
}

/** Gompertz time whose hazard is multiplied while regurgitation is present, by inversion. */
function lateDeath(
  patient: Patient,
  parameters: CohortParameters,
  course: { replaced: boolean; from: number; to: number },
): number {
  const d = parameters.lateDeath;
  const scale = d.rate / d.perYear *
    Math.exp(prognosis(patient, parameters) + (course.replaced ? d.replacement : 0));
  const hazardTo = (years: number) => scale * (Math.exp(d.perYear * years) - 1);
  const timeAt = (hazard: number) => Math.log(1 + hazard / scale) / d.perYear;
  let left = patient.chance.lateDeath;
  if (course.from >= course.to || left <= hazardTo(course.from)) return timeAt(left);
  left -= hazardTo(course.from);
  const ratio = Math.exp(d.recurrence);
  const during = ratio * (hazardTo(course.to) - hazardTo(course.from));
  if (left <= during) return timeAt(hazardTo(course.from) + left / ratio);
  return timeAt(hazardTo(course.to) + left - during);
}

function residualGrade(
  patient: Patient,
  parameters: CohortParameters,
  replaced: boolean,
): 0 | 2 | 3 {
  const e = parameters.exit;
  const chance = replaced
    ? e.residualAfterReplacement
    : 1 / (1 + Math.exp(-e.residualBase - e.residualPerComplexity * patient.complexity));
  if (patient.chance.exit >= chance) return 0;
  return patient.chance.exit < chance * e.residualSevere ? 3 : 2;
}

function reoperationForLeak(
  patient: Patient,
  parameters: CohortParameters,
  path: Pick<Outcome, "onset" | "reaches3" | "reaches4" | "regresses">,
): number {
  const { byGrade, perYearOfAge } = parameters.reoperation;
  const factor = Math.exp(perYearOfAge * (patient.age - 65));
  let left = patient.chance.reoperation;
  let at = path.onset;
  for (const [grade, until] of [[2, path.reaches3], [3, path.reaches4], [4, Infinity]] as const) {
    const end = Math.min(until, path.regresses);
    const rate = factor * byGrade[grade]!;
    if (end > at) {
      if (left <= rate * (end - at)) return at + left / rate;
      left -= rate * (end - at);
      at = end;
    }
  }
  return Infinity;
}

function reoperationForOther(
  patient: Patient,
  parameters: CohortParameters,
  prosthesis: Outcome["prosthesis"],
): { years: number; reason: "stenosis" | "endocarditis" | "thrombosis" | "other" } {
  const p = parameters.reoperation;
  const { otherReoperation, wear, reoperationReason: u } = patient.chance;
  if (prosthesis === "") {
    const reason = u < 0.4 ? "stenosis" : u < 0.8 ? "endocarditis" : "other";
    return { years: otherReoperation / p.otherAfterRepair, reason };
  }
  if (prosthesis === "mechanical") {
    const reason = u < 0.45 ? "thrombosis" : u < 0.85 ? "endocarditis" : "other";
    return { years: otherReoperation / p.otherMechanical, reason };
  }
  const worn = p.wearScale * Math.exp(p.wearPerYearOfAge * (patient.age - 65)) *
    wear ** (1 / p.wearShape);
  const years = otherReoperation / p.otherBioprosthesis;
  if (worn < years) return { years: worn, reason: "stenosis" };
  return { years, reason: u < 0.65 ? "endocarditis" : u < 0.85 ? "thrombosis" : "other" };
}

function above(value: number, mark: number, step: number, slope: number): number {
  return value > mark ? step + slope * (value - mark) : 0;
}

function dayOf(years: number): number {
  return Math.max(1, Math.ceil(years * daysPerYear));
}
