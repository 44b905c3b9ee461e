import { SeededRandom } from "../../numerics/mod.ts";
import {
  type CohortParameters,
  daysPerYear,
  logistic,
  type Outcome,
  type Patient,
  tenth,
  type Visit,
  whole,
} from "../mechanism/mod.ts";
import type { Blank, PatientRow, VisitRow } from "./rows.ts";

/** Writes a patient's visits with what was measured at each: ventricle and gradient. */
export function visitRows(
  visits: Visit[],
  patient: Patient,
  options: {
    id: string;
    outcome: Outcome;
    sparing: PatientRow["chordal_sparing"];
    parameters: CohortParameters;
    random: SeededRandom;
  },
): VisitRow[] {
  const { outcome, parameters, random } = options;
  const v = parameters.ventricle;
  const m = parameters.missing;
  const fall = ejectionFall(patient, options.sparing, parameters);
  // a stream of its own, so that nothing else of the cohort depends on it
  const own = v.lvefOwnSd * new SeededRandom(patient.chance.visitSeed + 4 * 4294967296).normal();
  const usual = outcome.final === "repair" ? 3 : 4.4;
  const ownGradient = usual + 0.9 * random.normal();
  const missing = (odds: number) => random.uniform() < logistic(odds);
  return visits.map((visit): VisitRow => {
    const years = visit.day / daysPerYear;
    const leaking = Math.max(0, Math.min(years, outcome.regresses) - outcome.onset);
    const early = Math.exp(-years / v.recoveryYears);
    const mean = patient.lvef + own - fall * (1 - v.recovered * (1 - early)) -
      Math.min(12, v.perYearLeaking * leaking);
    const shrunk = v.lveddShrinks * (1 - Math.exp(-years / v.shrinkYears));
    const lvef = whole(mean + v.lvefNoise * random.normal(), 8, 78);
    const lvedd = whole(
      patient.lvedd - shrunk + Math.min(8, 0.8 * leaking) + v.diameterNoise * random.normal(),
      34,
      95,
    );
    const lvesd = Math.min(
      lvedd - 2,
      whole(lvedd * (1 - 0.0059 * lvef) + v.diameterNoise * random.normal(), 17, 88),
    );
    const gradient = tenth(ownGradient + 0.5 * random.normal(), 0.8, 12);
    const noDiameters = missing(m.visitDiameters);
    return {
      id: options.id,
      day: visit.day,
      mr: visit.mr,
      lvef: blankIf(missing(m.visitLvef), lvef),
      lvedd: blankIf(noDiameters, lvedd),
      lvesd: blankIf(noDiameters, lvesd),
      gradient: blankIf(missing(m.visitGradient), gradient),
      reason: visit.reason,
    };
  });
}

/** How far ejection fraction falls at operation, before any recovery. */
export function ejectionFall(
  patient: Patient,
  sparing: PatientRow["chordal_sparing"],
  parameters: CohortParameters,
): number {
  const v = parameters.ventricle;
  const usual = patient.secondary
    ? v.fallSecondary
    : v.fall + v.fallPerPoint * (patient.lvef - v.fallFrom);
  return usual + (sparing === "none" ? v.fallWithoutChordae : 0);
}

function blankIf(blank: boolean, value: number): number | Blank {
  return blank ? "" : value;
}
