import type { Numbers } from "../../numerics/mod.ts";
import { fitIllnessDeath } from "./illness-death-em.ts";
import { incidenceAt } from "./course-values.ts";
import { reweighed, visitColumns, visitDesign, type VisitFollowUp } from "./visit-design.ts";

/** The incidence under some weights. */
export interface ReweightedIncidence {
  /** At each time; NaN past the last visit. */
  incidence: Float64Array;
  /** Hazard of death after recurrence over before. */
  deathRateRatio: number;
}

/** Near enough for a draw: less than a hundredth of a standard error in the estimate. */
const forDraws = 1e-5;

/**
 * The estimate of `intervalCensoredIncidence` as a function of the patients' weights, for draws
 * from one sample: places and rows are made once, and each search starts from the course under the
 * sample's own weights.
 *
 * Where the death rates before and after a recurrence could not be told apart in the sample, their
 * ratio is held at 1 throughout. Under weights that leave no recurrence found the incidence is 0.
 *
 * @param data With the sample's own weights.
 * @param options.tolerance How near a search under other weights comes to its maximum (see
 * `fitIllnessDeath`); default 1e-5.
 * @throws {DataError} on a value out of range or visits out of order.
 */
export function reweightedIncidence(
  data: VisitFollowUp,
  times: Numbers,
  { tolerance = forDraws }: { tolerance?: number } = {},
): { sample: ReweightedIncidence; under(weight: Float64Array): ReweightedIncidence } {
  const columns = visitColumns(data);
  const design = visitDesign(columns, "modelled");
  const { found, lastClear } = columns;
  const asked = Float64Array.from(times);
  const lastVisit = found.reduce(
    (last, seen, i) => Math.max(last, seen < Infinity ? seen : 0, lastClear[i]!),
    0,
  );
  const search = { tolerance: 1e-8, maxIterations: 2000 };
  const free = fitIllnessDeath(design, { ...search, ratio: "estimated" });
  const isHeld = !free.converged || !(free.ratio > 1e-6);
  const course = isHeld ? fitIllnessDeath(design, { ...search, ratio: 1 }) : free;
  const ratio = isHeld ? 1 : "estimated";
  const none = { incidence: asked.map((t) => t > lastVisit ? NaN : 0), deathRateRatio: 1 };
  const someFound = (weight: Float64Array) => found.some((t, i) => t < Infinity && weight[i]! > 0);
  const sample = someFound(columns.weight)
    ? {
      incidence: incidenceAt({ design, fit: course }, asked, lastVisit),
      deathRateRatio: course.ratio,
    }
    : none;
  return {
    sample,
    under(weight) {
      if (weight.every((own, i) => own === columns.weight[i])) return sample;
      if (!someFound(weight)) return none;
      const drawn = reweighed(design, weight);
      const fit = fitIllnessDeath(drawn, {
        ratio,
        tolerance,
        maxIterations: 300,
        start: course,
      });
      return {
        incidence: incidenceAt({ design: drawn, fit }, asked, lastVisit),
        deathRateRatio: fit.ratio,
      };
    },
  };
}
