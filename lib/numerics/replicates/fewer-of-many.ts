/**
 * So many rows, patients or units are many: past them chance is small enough for what is sparing to
 * give the same as what is thorough. Chosen here, no source.
 */
export const MANY = 20_000;

/**
 * How often something is repeated on so many rows: as often as asked for up to 20,000, of more in
 * inverse proportion, at least `least` times. What chance in the repetitions does to a mean over
 * them goes as 1 / sqrt(repetitions x rows), so that down to `least` there is no more of it than at
 * 20,000 rows.
 *
 * @param least Default 20. Never more than asked for.
 */
export function fewerOfMany(asked: number, rows: number, least = 20): number {
  if (rows <= MANY) return asked;
  return Math.min(asked, Math.max(least, Math.ceil(asked * MANY / rows)));
}
