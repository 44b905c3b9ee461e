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
  heldThere: number;
  /** The same as a sentence, for a caption or a note. */
  words: string;
}

/**
 * From simulated cohorts with known answers, `test/calibration/visit-shares.json`: the last time up to
 * which the limits held the truth in as many cohorts as they claim, but for three Monte-Carlo errors.
 * A quantity that held as far as was tried is not here.
 */
const table: Record<LimitedQuantity, Omit<SoundTo, "words"> & { name: string; cohorts: number }> = {
  "on-schedule": {
    name: "visits on schedule",
    cohorts: 200,
    years: 5,
    held: 93,
    failsAt: 7,
    heldThere: 89,
  },
  "by-visit-rate": {
    name: "visits weighted by their rate",
    cohorts: 200,
    years: 3,
    held: 94,
    failsAt: 5,
    heldThere: 81,
  },
};

/**
 * How far, in years after operation, a quantity may be shown: past it, simulations with known answers
 * show that its limits no longer hold the truth as often as they claim.
 *
 * @example
 * ```ts
 * soundTo("on-schedule").years; // 5
 * ```
 */
export function soundTo(quantity: LimitedQuantity): SoundTo {
  const { name, cohorts, ...found } = table[quantity];
  const { years, held, failsAt, heldThere } = found;
  return {
    ...found,
    words:
      `By ${name} no estimate is shown past ${years} years: in ${cohorts} simulated cohorts with ` +
      `known answers the limits held the truth in ${held} of 100 at ${years} years, and in ` +
      `${heldThere} of 100 at ${failsAt}.`,
  };
}
