import betweenVisits from "./between-visits.json" with { type: "json" };
import expected from "./expected.json" with { type: "json" };
import performance from "./performance.json" with { type: "json" };
import subgroups from "./subgroups.json" with { type: "json" };

/** How often the 95% limits of one printed quantity held its truth, in simulated cohorts. */
export interface HeldQuantity {
  /** An endpoint of the demonstration's plan, or another quantity such as "years lived". */
  quantity: string;
  /** How the groups were made alike, or of what kind a subgroup is. */
  design: string;
  /** A population of the plan, a threshold, or a comparison of arms. */
  population: string;
  /** A group, what is compared, as in "repair - replacement", or a side of a subgroup. */
  of: string;
  /** Years after operation; 0 where it has none. */
  time: number;
  /** Simulated cohorts that it rests on. */
  cohorts: number;
  /** Share of cohorts, and whether it is below 95% by more than three Monte-Carlo errors. */
  coverage: number;
  /** Whether the limits held the truth too seldom. */
  tooSeldom: boolean;
}

/** What was measured in the cohorts of one case mix. */
export interface HeldMix {
  /** Name of the case mix. */
  mix: string;
  /** What it is, in a sentence. */
  about: string;
  /** Simulated cohorts that it rests on. */
  cohorts: number;
  /** One a printed quantity. */
  quantities: HeldQuantity[];
}

const claimed = 0.95;

/**
 * What simulations with known answers say of the limits of everything that a report prints, in the
 * demonstration's case mix and in a harder one.
 *
 * Measured with overlap weights; made by `test/calibration/printed/calibrate-printed.ts`; for
 * recurrence between visits, by `test/calibration/visits/between-visits.ts`; for differences
 * between subgroups and populations, by `test/calibration/subgroups/subgroups.ts`; for ratios to an
 * expected number, by `test/calibration/expected/expected.ts`.
 *
 * @example
 * ```ts
 * import { limitsHeld } from "mitral";
 *
 * limitsHeld().map(({ mix }) => mix); // ["demo", "harder"]
 * ```
 */
export function limitsHeld(): HeldMix[] {
  return performance.map(({ mix, about, cohorts, rows }) => ({
    mix,
    about,
    cohorts,
    quantities: [
      ...rows,
      ...mix === "demo" ? betweenVisits : [],
      ...[subgroups, expected].flatMap((mixes) => mixes.find((own) => own.mix === mix)?.rows ?? []),
    ].map((
      { quantity, design, population, of, time, cohorts: own, coverage },
    ) => ({
      quantity,
      design,
      population,
      of,
      time,
      cohorts: own,
      coverage,
      tooSeldom: coverage < claimed - 3 * Math.sqrt(claimed * (1 - claimed) / own),
    })),
  }));
}
