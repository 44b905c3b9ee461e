import { DataError } from "./errors.ts";

/** Nobody is followed, or lives, for longer: the oldest age on record is 122 years. From memory. */
export const MOST_YEARS = 120;

/**
 * Refuses times in years that nobody could be followed for: days or months given for years would
 * otherwise give a rate that is wrong by the length of a year, in silence.
 *
 * @throws {DataError} naming the first time past {@link MOST_YEARS}.
 */
export function checkYears(name: string, time: Float64Array): void {
  const row = time.findIndex((value) => value > MOST_YEARS);
  if (row < 0) return;
  throw new DataError(name, `in years, at most ${MOST_YEARS} (days or months?)`, time[row], row);
}
