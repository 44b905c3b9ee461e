import { SeededRandom } from "../../numerics/mod.ts";
import { daysPerYear, gradeAt, type Outcome } from "./outcomes.ts";
import type { CohortParameters } from "./parameters.ts";
import type { Patient } from "./patient.ts";

/** One echocardiogram: when, why and the grade read. */
export interface Visit {
  day: number;
  reason: "scheduled" | "symptoms";
  mr: number;
}

/**
 * Echo visits up to a day, ascending, one a day.
 *
 * Looking longer adds visits and changes none of the earlier ones: what is observed up to an early
 * end of follow-up is the beginning of what would have been observed.
 */
export function drawVisits(
  patient: Patient,
  outcome: Outcome,
  options: { until: number; parameters: CohortParameters },
): Visit[] {
  const { parameters } = options;
  // the day of death brings no visit
  const until = Math.min(options.until, outcome.deathDay - 1);
  const days = new Map<number, Visit["reason"]>();
  scheduled(patient, { until, parameters }, days);
  symptomDriven(patient, outcome, { until, parameters }, days);
  const random = new SeededRandom(patient.chance.visitSeed + 3 * 4294967296);
  return [...days.keys()].sort((a, b) => a - b).map((day) => ({
    day,
    reason: days.get(day)!,
    mr: readGrade(day, outcome, { random, parameters }),
  }));
}

function scheduled(
  patient: Patient,
  { until, parameters }: { until: number; parameters: CohortParameters },
  days: Map<number, Visit["reason"]>,
): void {
  const v = parameters.visits;
  const random = new SeededRandom(patient.chance.visitSeed + 4294967296);
  const less = patient.age >= 80 ? v.lessWhenOld : 0;
  for (let k = 0; k < v.scheduledDays.length; k++) {
    const planned = v.scheduledDays[k]!;
    const day = Math.max(
      2,
      Math.round(planned + Math.max(1.5, v.jitter * planned) * random.normal()),
    );
    const attends = random.uniform() < v.attended[k]! - less;
    if (attends && day <= until) days.set(day, "scheduled");
    if (planned > 2 * until + 30) return;
  }
}

/** Thinned proposals: the rate follows the grade of the day. */
function symptomDriven(
  patient: Patient,
  outcome: Outcome,
  { until, parameters }: { until: number; parameters: CohortParameters },
  days: Map<number, Visit["reason"]>,
): void {
  const v = parameters.visits;
  const random = new SeededRandom(patient.chance.visitSeed + 2 * 4294967296);
  const factor = patient.nyha >= 3 ? v.symptomsInHighNyha : 1;
  const beforeReoperation = random.uniform() < v.beforeReoperation
    ? outcome.reoperationDay - 1 - random.integer(30)
    : Infinity;
  if (beforeReoperation >= 1 && beforeReoperation <= until) days.set(beforeReoperation, "symptoms");
  const highest = v.symptomRate[4]! * v.symptomsInHighNyha;
  let years = 20 / daysPerYear;
  for (;;) {
    years += random.exponential(highest);
    const day = Math.ceil(years * daysPerYear);
    const keep = random.uniform() * highest;
    if (day > until) return;
    const grade = day >= outcome.reoperationDay ? 0 : gradeAt(years, outcome);
    if (keep < factor * v.symptomRate[grade]! && !days.has(day)) days.set(day, "symptoms");
  }
}

/** Never >= 2+ before onset: a discovery cannot come before what it discovers. */
function readGrade(
  day: number,
  outcome: Outcome,
  { random, parameters }: { random: SeededRandom; parameters: CohortParameters },
): number {
  const c = parameters.course;
  const u = random.uniform();
  if (day > outcome.reoperationDay) return u < c.readOtherMild / 2 ? 1 : 0;
  const years = day / daysPerYear;
  const grade = gradeAt(years, outcome);
  if (grade >= 2) return u < c.readLower ? grade - 1 : grade;
  if (years >= outcome.regresses) return u < c.readOtherMild ? 0 : 1;
  const mild = outcome.mrExit === 1 ? 1 : 0;
  return u < c.readOtherMild ? 1 - mild : mild;
}

/** How looking for recurrent regurgitation ended. */
export interface Discovery {
  /** Day of the first echo with >= 2+, or of a reoperation for regurgitation; Infinity if none. */
  day: number;
  /** Day of death or of reoperation for another cause, whichever is first; Infinity if neither. */
  competingDay: number;
}

/**
 * The discovery (of a grade, default 2) that visits imply, by the last day of looking. Echoes after
 * a reoperation do not count.
 */
export function discovery(
  outcome: Outcome,
  visits: Visit[],
  { until, grade = 2 }: { until: number; grade?: 2 | 3 },
): Discovery {
  const seen = (day: number) => day <= until ? day : Infinity;
  const reoperation = seen(outcome.reoperationDay);
  const forLeak = outcome.reoperationReason === "MR";
  const found = visits.find((visit) => visit.mr >= grade && visit.day <= reoperation);
  const competingDay = Math.min(seen(outcome.deathDay), forLeak ? Infinity : reoperation);
  const day = Math.min(seen(found?.day ?? Infinity), forLeak ? reoperation : Infinity);
  return { day: day <= competingDay ? day : Infinity, competingDay };
}
