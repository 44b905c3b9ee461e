import { minorantTarget, minorantWork } from "../../survival/intervals/mod.ts";
import { type Course, type ExpectedCounts, expectedCounts } from "./expected-counts.ts";
import type { VisitDesign } from "./visit-design.ts";

/** A fitted course: when recurrence would come, and the hazard of death before and after it. */
export interface IllnessDeath extends Course {
  logLikelihood: number;
  iterations: number;
  converged: boolean;
  /** How far from the maximum; see {@link fitIllnessDeath}. */
  violation: number;
}

/** How to look for the maximum. */
export interface CourseSearch {
  ratio: number | "estimated";
  tolerance: number;
  maxIterations: number;
  /** A course on the same places to start from, such as that of the sample a draw was made from. */
  start?: Course;
}

/** Where nobody with a recurrence seems to die the ratio goes to 0, and never arrives. */
const leastRatio = 1e-8;

/**
 * Maximum likelihood of an illness-death course: EM, with a Newton step for the masses in each
 * iteration.
 *
 * The hidden part is where in its interval each recurrence lies and whether a patient not seen to
 * recur did. EM alone crawls, because most masses belong at 0 and it can only approach that. For
 * given hazards the likelihood is a product of sums that are linear in the masses, so an iterative
 * convex minorant step on the cumulative masses, shortened until the likelihood gains, follows each
 * EM step: neither lowers the likelihood. Some tens of iterations where EM took a thousand.
 *
 * Stops when no first-order condition of the maximum is violated by more than `tolerance`, each per
 * unit of weight: the derivative by every mass is at most 1, and 1 where there is mass (then the
 * log-likelihood is within that of its maximum over the masses); deaths at their times, and deaths
 * after a recurrence, are those expected.
 *
 * Cost O(rows + places + deaths) an iteration.
 *
 * @see Frydman and Szarek (2009) Biometrics 65:143-151 for the model and its EM; Wellner and Zhan
 * (1997) JASA 92:945-959 for joining EM with convex minorants.
 */
export function fitIllnessDeath(design: VisitDesign, search: CourseSearch): IllnessDeath {
  const { tolerance, maxIterations } = search;
  const fixed = search.ratio !== "estimated";
  const { at, logLikelihoodOf } = expectedCounts(design);
  const improveMasses = minorantStep(design.left.length, logLikelihoodOf);
  let course = startOf(design, search);
  let counts = at(course);
  let violation = violationOf(design, course, counts, fixed);
  let iterations = 0;
  while (violation > tolerance && iterations < maxIterations) {
    iterations++;
    course = maximisationStep(design, course, counts, fixed);
    course.mass = improveMasses(course.mass, at(course));
    counts = at(course);
    violation = violationOf(design, course, counts, fixed);
  }
  const converged = violation <= tolerance;
  return { ...course, logLikelihood: counts.logLikelihood, iterations, converged, violation };
}

/** A hundredth of equal masses is mixed in, since EM cannot leave 0. */
function startOf({ left, dying, alive }: VisitDesign, { ratio, start }: CourseSearch): Course {
  const even = 1 / left.length;
  return {
    mass: left.map((_, s) => 0.99 * (start?.mass[s] ?? even) + 0.01 * even),
    hazard: dying.map((d, v) => d === 0 ? 0 : start?.hazard[v] || d / alive[v]!),
    ratio: ratio === "estimated" ? start?.ratio ?? 1 : ratio,
  };
}

function maximisationStep(
  { total, dying, alive }: VisitDesign,
  { mass, ratio }: Course,
  { gradient, recurred, dyingAfter }: ExpectedCounts,
  fixed: boolean,
): Course {
  let met = 0;
  const hazard = dying.map((d, v) => {
    const h = d === 0 ? 0 : d / (alive[v]! + (ratio - 1) * recurred[v]!);
    met += h * recurred[v]!;
    return h;
  });
  const next = mass.map((p, s) => p * gradient[s]! / total);
  const sum = next.reduce((all, p) => all + p, 0);
  const estimated = !fixed && met > 0 && dyingAfter > 0;
  return {
    mass: next.map((p) => p / sum),
    hazard,
    ratio: estimated ? Math.max(leastRatio, dyingAfter / met) : ratio,
  };
}

/** Masses after a convex minorant step, or the same where none of its lengths gains. */
function minorantStep(places: number, logLikelihoodOf: (mass: Float64Array) => number) {
  const work = minorantWork(places);
  return (mass: Float64Array, counts: ExpectedCounts): Float64Array => {
    const { gradient, logLikelihood } = counts;
    for (let s = 0; s + 1 < places; s++) work.slope[s] = gradient[s]! - gradient[s + 1]!;
    work.curvature.set(counts.curvature);
    minorantTarget(mass, work);
    let promised = 0;
    for (let s = 0; s < places; s++) promised += gradient[s]! * (work.target[s]! - mass[s]!);
    // gains below the rounding of a log-likelihood cannot be seen in it
    const rounding = 1e-14 * Math.abs(logLikelihood);
    for (let halving = 0, step = 1; halving < 12; halving++, step /= 2) {
      const trial = mass.map((p, s) => p + step * (work.target[s]! - p));
      const gain = logLikelihoodOf(trial) - logLikelihood;
      if (gain > 0 || step * promised < rounding && gain > -rounding) return trial;
    }
    return mass;
  };
}

function violationOf(
  { total, dying, alive }: VisitDesign,
  { hazard, ratio }: Course,
  { gradient, recurred, dyingAfter }: ExpectedCounts,
  fixed: boolean,
): number {
  const ofMasses = gradient.reduce((most, slope) => Math.max(most, slope), 0) - total;
  let ofHazards = 0;
  let met = 0;
  for (let v = 0; v < dying.length; v++) {
    const after = recurred[v]!;
    ofHazards += Math.abs(dying[v]! - hazard[v]! * (alive[v]! + (ratio - 1) * after));
    met += hazard[v]! * after;
  }
  const atLeast = ratio <= leastRatio && dyingAfter < ratio * met;
  const ofRatio = fixed || met === 0 || atLeast ? 0 : Math.abs(dyingAfter - ratio * met);
  return Math.max(ofMasses, ofHazards, ofRatio) / total;
}
