import type { Course } from "./expected-counts.ts";
import { upTo, type VisitDesign } from "./visit-design.ts";

/** The incidence alone; see `VisitIncidenceAt`. */
export function incidenceAt(
  estimated: { design: VisitDesign; fit: Course },
  times: Float64Array,
  lastVisit: number,
): Float64Array {
  return valuesAt(estimated, times, lastVisit).incidence;
}

/** What a course says of other times; NaN past the last visit. Cost O(times x intervals). */
export function valuesAt(
  { design, fit }: { design: VisitDesign; fit: Course },
  times: Float64Array,
  lastVisit: number,
) {
  const { left, right, deathTime, deathsBefore } = design;
  const H = cumulative(fit.hazard);
  const hazardAt = (t: number) => H[upTo(deathTime, t)]!;
  const column = () => new Float64Array(times.length).fill(NaN);
  const out = {
    incidence: column(),
    least: column(),
    greatest: column(),
    deathFirst: column(),
    eventFree: column(),
  };
  times.forEach((t, place) => {
    if (t > lastVisit) return;
    let least = 0, greatest = 0, incidence = 0, recurred = 0;
    for (let s = 0; s < left.length; s++) {
      const p = fit.mass[s]!;
      if (p === 0 || right[s] === Infinity || left[s]! >= t) continue;
      const share = Math.min(1, (t - left[s]!) / (right[s]! - left[s]!));
      const middle = p * Math.exp(-H[deathsBefore[s]!]!);
      incidence += share * middle;
      recurred += share * p;
      least += share === 1 ? middle : 0;
      // all of it at the beginning of the interval
      greatest += share === 1 ? middle : p * Math.exp(-hazardAt(left[s]!));
    }
    out.incidence[place] = incidence;
    out.least[place] = least;
    out.greatest[place] = greatest;
    out.eventFree[place] = (1 - recurred) * Math.exp(-hazardAt(t));
    out.deathFirst[place] = 1 - incidence - out.eventFree[place]!;
  });
  return out;
}

/** Prefix sums, from 0. */
export function cumulative(values: Float64Array): Float64Array {
  const sums = new Float64Array(values.length + 1);
  for (let i = 0; i < values.length; i++) sums[i + 1] = sums[i]! + values[i]!;
  return sums;
}
