import { distributions } from "../../numerics/mod.ts";
import type { CohortParameters } from "./parameters.ts";
import { logistic, type Patient } from "./patient.ts";

/** What the surgeon sets out to do, or does. */
export type Procedure = "repair" | "replacement";

/**
 * The true propensity: probability that repair is intended, given columns known before operation
 * (and the surgeon). Logistic, linear in age, NYHA class, lvef, lvedd, egfr and year, with
 * indicators for aetiology, leaflet, persistent fibrillation, redo, urgency and surgeon, and linear
 * in tethering where that applies.
 */
export function chanceOfRepair(patient: Patient, parameters: CohortParameters): number {
  const a = parameters.assignment;
  let odds = parameters.mechanisms[patient.mechanism].repair +
    a.perYearOfAge * (patient.age - 65) +
    a.perNyhaClass * (patient.nyha - 2) +
    a.perPercentLvef * (patient.lvef - 55) +
    a.perMmLvedd * (patient.lvedd - 58) +
    a.perUnitEgfr * (patient.egfr - 75) +
    a.redo * patient.redo +
    a.perCalendarYear * (patient.year - 2016) +
    parameters.surgeons[patient.operation.surgeon]!.preference;
  if (patient.leaflet === "anterior") odds += a.anterior;
  if (patient.leaflet === "both") odds += a.both;
  if (patient.secondary) odds += a.perMmTether * (patient.tether - 9);
  if (patient.af === "persistent") odds += a.persistentAf;
  if (patient.urgency !== "elective") odds += a[patient.urgency];
  return logistic(odds);
}

/** What was in fact intended for this patient. */
export function intendedProcedure(patient: Patient, propensity: number): Procedure {
  return patient.chance.assignment < propensity ? "repair" : "replacement";
}

/** Whether the intention is changed in theatre. */
export function isConverted(
  patient: Patient,
  intended: Procedure,
  parameters: CohortParameters,
): boolean {
  const c = parameters.conversion;
  if (intended === "replacement") return patient.chance.conversion < c.repairPossible;
  return patient.chance.conversion < logistic(conversionOdds(patient, parameters));
}

function conversionOdds(patient: Patient, parameters: CohortParameters): number {
  const c = parameters.conversion;
  const left = Math.max(0, 1 - patient.operation.experience / c.learningCases);
  return c.base + c.perComplexity * patient.complexity + c.learning * left +
    c.tissueSd * patient.chance.tissue;
}

// the middles of 20 parts of a normal distribution that are equally likely
const tissues = Array.from(
  { length: 20 },
  (_, k) => distributions.normalQuantile((k + 0.5) / 20),
);

/** Chance that an attempted repair is converted, what is only seen at operation averaged out. */
export function chanceOfConversion(patient: Patient, parameters: CohortParameters): number {
  const chances = tissues.map((tissue) => {
    const seen = { ...patient, chance: { ...patient.chance, tissue } };
    return logistic(conversionOdds(seen, parameters));
  });
  return chances.reduce((sum, chance) => sum + chance / chances.length, 0);
}
