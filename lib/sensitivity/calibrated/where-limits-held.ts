import type { BetweenVisits } from "../between-visits/mod.ts";
import { per100, roundTo } from "../../words/mod.ts";
import { limitsHeld } from "./limits-held.ts";

/** How often limits between visits held the truth, and where they did so too seldom. */
export interface HeldBetweenVisits extends BetweenVisits {
  /** Horizons left out because there, or at the nearest time tried, limits held it too seldom. */
  unsound: number[];
  /** Simulated cohorts. */
  cohorts: number;
  /** In how many of 100 cohorts limits of what is left held it: least and most. */
  held: [least: number, most: number];
}

/**
 * The comparison between visits without the horizons at which, in simulations with known answers,
 * the limits of its difference held the truth too seldom (see `limitsHeld`): of a horizon that was
 * not tried, the nearest that was decides.
 *
 * @example
 * ```ts ignore
 * import { openAnalysis, recurrenceBetweenVisits, whereLimitsHeld } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const { contrasts, unsound } = whereLimitsHeld(await recurrenceBetweenVisits(analysis, study));
 * ```
 */
export function whereLimitsHeld(found: BetweenVisits): HeldBetweenVisits {
  const tried = limitsHeld().flatMap(({ quantities }) => quantities).filter((one) =>
    one.quantity === "recurrence between visits" && one.of === "repair - replacement"
  );
  const nearest = (time: number) =>
    tried.reduce((best, one) =>
      Math.abs(one.time - time) < Math.abs(best.time - time) ? one : best
    );
  const sound = (time: number) => !nearest(time).tooSeldom;
  const of100 = tried.filter(({ tooSeldom }) => !tooSeldom)
    .map(({ coverage }) => roundTo(per100(coverage), 0));
  return {
    ...found,
    contrasts: found.contrasts.filter(({ time }) => sound(time)),
    unsound: found.contrasts.map(({ time }) => time).filter((time) => !sound(time)),
    cohorts: tried[0]?.cohorts ?? 0,
    held: [Math.min(...of100), Math.max(...of100)],
  };
}
