import { incidenceDifference } from "../../competing/incidence/mod.ts";
import {
  checkNumber,
  DataError,
  distributions,
  type Numbers,
  SeededRandom,
} from "../../numerics/mod.ts";
import { powerForEvents, requiredEvents, requiredPatients } from "./required-events.ts";

/** What is expected of a comparison before an outcome is looked at. */
export interface ExpectedComparison {
  /** Patients of each group, or what they are worth once weighted. */
  patients: readonly [first: number, second: number];
  /** Share of all expected to have the event by the horizon. */
  share: number;
  /** Share expected to have a competing event by then, and not the event. Default 0. */
  competing?: number;
  /** Years. */
  horizon: number;
  /**
   * Years that patients could be followed, drawn from at random; without it, all to the horizon.
   */
  followUp?: Numbers;
  /** Difference in proportions to be found. */
  difference: number;
}

/** How precise a comparison will be. */
export interface ExpectedPrecision {
  /** Events by the horizon in both groups, those after the end of follow-up left out. */
  events: number;
  /** Of the difference in cumulative incidence where there is none. */
  standardError: number;
  /** Smallest difference that is found with the power asked for. */
  smallestFound: number;
  /** Chance that limits leave out no difference where it is as large as `difference`. */
  power: number;
  /** Hazard ratio of the event that `difference` amounts to, with death competing. */
  hazardRatio: number;
  /** Events that a comparison of hazards needs for it: Schoenfeld (1983). */
  eventsNeeded: number;
  /**
   * Patients followed as these are, among whom so many events are expected; Infinity
   * where none are.
   */
  patientsNeeded: number;
  /** Chance that a comparison of hazards finds it with the events expected by the horizon. */
  powerOfHazards: number;
  /** How many random draws it rests on. */
  draws: number;
}

/**
 * The precision to expect of a difference in cumulative incidence with a competing event, by
 * simulation: both hazards constant and the competing one alike in both groups, censoring at the
 * end of follow-up, the estimator that the comparison uses. No outcome of anybody goes in.
 *
 * Patients drawn are equally weighted; weights enter through effective numbers, which is close
 * where weights say little of the outcome.
 *
 * @param options.draws Simulated comparisons; default 400, which give power to 0.025 (1 SE).
 * @example
 * ```ts
 * import { expectedPrecision } from "mitral";
 *
 * expectedPrecision({
 *   patients: [200, 200], share: 0.25, competing: 0.1, horizon: 5, difference: 0.1,
 * }, { seed: 1 }).power; // about 0.6
 * ```
 * @throws {DataError}
 */
export function expectedPrecision(
  plan: ExpectedComparison,
  options: { seed: number; draws?: number; power?: number; confidence?: number },
): ExpectedPrecision {
  const draws = checkNumber("draws", options.draws ?? 400, (v) => v >= 50, "at least 50");
  const power = checkNumber("power", options.power ?? 0.8, (v) => v > 0.5 && v < 1, "0.5 to 1");
  const confidence = options.confidence ?? 0.95;
  const random = new SeededRandom(options.seed);
  const [first, second] = ratesOf(plan, plan.difference);
  const none = drawn(plan, 0, { draws, confidence, random });
  const some = drawn(plan, plan.difference, { draws, confidence, random });
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  const hazardRatio = first.event / second.event;
  const [n1, n2] = plan.patients;
  const hazards = { hazardRatio, alpha: 1 - confidence, allocation: n1 / (n1 + n2) };
  return {
    events: none.events,
    standardError: none.spread,
    smallestFound: (z + distributions.normalQuantile(power)) * none.spread,
    power: some.found,
    hazardRatio,
    eventsNeeded: requiredEvents({ ...hazards, power }),
    patientsNeeded: none.events > 0
      ? requiredPatients({ ...hazards, power, eventProbability: none.events / (n1 + n2) })
      : Infinity,
    powerOfHazards: powerForEvents({ ...hazards, events: none.events }),
    draws,
  };
}

/**
 * Constant hazards of the event and of what competes, in the two groups, half the
 * difference each way.
 */
function ratesOf(plan: ExpectedComparison, difference: number) {
  const { horizon, share, competing = 0 } = plan;
  checkNumber("horizon", horizon, (v) => v > 0 && v < Infinity, "a number of years > 0");
  checkNumber("difference", plan.difference, (v) => v > 0 && v < 1, "between 0 and 1");
  const own = [share + difference / 2, share - difference / 2].map((part) => {
    if (!(part > 0 && competing >= 0 && part + competing < 1)) {
      throw new DataError(
        "share",
        "above half the difference, and below 1 with what competes",
        part,
      );
    }
    const total = -Math.log(1 - part - competing) / horizon;
    return { event: total * part / (part + competing), all: total };
  });
  // alike in both: the competing hazard of the share as a whole
  const all = -Math.log(1 - share - competing) / horizon;
  const rival = all * competing / (share + competing);
  return own.map((group) => ({ event: eventRate(group, rival, horizon), rival })) as [
    { event: number; rival: number },
    { event: number; rival: number },
  ];

  /** The event's hazard with which its incidence is as wanted although the rival's is given. */
  function eventRate({ event, all }: { event: number; all: number }, fixed: number, at: number) {
    const wanted = event / all * (1 - Math.exp(-all * at));
    let [low, high] = [0, 100 / at];
    for (let k = 0; k < 200; k++) {
      const middle = (low + high) / 2;
      const sum = middle + fixed;
      const reached = middle / sum * (1 - Math.exp(-sum * at));
      if (reached < wanted) low = middle;
      else high = middle;
    }
    return (low + high) / 2;
  }
}

function drawn(
  plan: ExpectedComparison,
  difference: number,
  { draws, confidence, random }: { draws: number; confidence: number; random: SeededRandom },
): { events: number; spread: number; found: number } {
  const rates = ratesOf(plan, difference);
  const sizes = plan.patients.map((n, side) =>
    Math.round(checkNumber(`patients[${side}]`, n, (v) => v >= 2 && v < Infinity, "at least 2"))
  );
  const n = sizes[0]! + sizes[1]!;
  const { horizon, followUp } = plan;
  const time = new Float64Array(n);
  const event = new Int32Array(n);
  const group = Array.from({ length: n }, (_, i) => i < sizes[0]! ? "b" : "a");
  let [events, sum, squares, found, made] = [0, 0, 0, 0, 0];
  for (let draw = 0; draw < draws; draw++) {
    for (let i = 0; i < n; i++) {
      const rate = rates[i < sizes[0]! ? 0 : 1];
      const all = rate.event + rate.rival;
      const at = random.exponential(all);
      const end = followUp ? followUp[random.integer(followUp.length)]! : horizon * 1.001;
      const which = random.uniform() * all < rate.event ? 1 : 2;
      time[i] = Math.min(at, Math.max(end, 0));
      event[i] = at <= end ? which : 0;
      if (event[i] === 1 && at <= horizon) events++;
    }
    const [contrast] = incidenceDifference({ time, event, group }, {
      cause: 1,
      times: [horizon],
      confidence,
    });
    const { estimate, lower, upper } = contrast!.difference;
    if (!(lower <= upper)) continue;
    made++;
    sum += estimate;
    squares += estimate ** 2;
    if (lower > 0 || upper < 0) found++;
  }
  const mean = sum / made;
  return {
    events: events / draws,
    spread: Math.sqrt((squares - made * mean ** 2) / (made - 1)),
    // what ends before the horizon finds nothing
    found: found / draws,
  };
}
