import { per100, roundTo } from "../../words/mod.ts";
import { limitsHeld } from "./limits-held.ts";

/** Quantities whose limits stop holding the truth within the years that are followed. */
export type LimitedQuantity = "on-schedule" | "by-visit-rate";

/** How far a quantity may be shown, see {@link soundTo}. */
export interface SoundTo {
  /** Years after operation past which no estimate is shown. */
  years: number;
  /** Of 100 simulated cohorts, in how many the 95% limits held the truth then. */
  held: number;
  /** The next time tried, and in how many of 100 they held it there: too few. */
  failsAt: number;
  /** In how many of 100 cohorts the limits held the truth there. */
  heldThere: number;
  /** The same as a sentence, for a caption or a note. */
  words: string;
}

const names: Record<LimitedQuantity, string> = {
  "on-schedule": "visits on schedule",
  "by-visit-rate": "visits weighted by their rate",
};

/**
 * How far, in years after operation, a quantity may be shown: past it, simulations with known
 * answers show that its limits no longer hold the truth as often as they claim, but for three
 * Monte-Carlo errors (see `limitsHeld`).
 *
 * @example
 * ```ts
 * import { soundTo } from "mitral";
 * soundTo("on-schedule").years > 1; // true
 * ```
 */
export function soundTo(quantity: LimitedQuantity): SoundTo {
  const { cohorts, quantities } = limitsHeld().find(({ mix }) => mix === "demo")!;
  const own = quantities.filter((one) => one.quantity === `leak among the living, ${quantity}`);
  const times = [...new Set(own.map(({ time }) => time))].sort((a, b) => a - b);
  const at = (time: number) => own.filter((one) => one.time === time);
  // in the group in which they held it least
  const heldAt = (time: number) =>
    roundTo(per100(Math.min(...at(time).map(({ coverage }) => coverage))), 0);
  const first = times.findIndex((time) => at(time).some(({ tooSeldom }) => tooSeldom));
  const [years = 0, failsAt = Infinity] = first < 0
    ? [times.at(-1)]
    : [times[first - 1], times[first]];
  const found = { years, held: heldAt(years), failsAt, heldThere: heldAt(failsAt) };
  return {
    ...found,
    words: `By ${names[quantity]} no estimate is shown past ${years} years: in ${cohorts} ` +
      "simulated cohorts with known answers the limits held the truth in " +
      `${found.held} of 100 at ${years} years` +
      (failsAt < Infinity ? `, and in ${found.heldThere} of 100 at ${failsAt}.` : "."),
  };
}
