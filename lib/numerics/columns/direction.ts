import { DataError } from "./errors.ts";

/** Which of two groups is taken from which, and how that is written. */
export interface Direction {
  /** Place of the group that is subtracted (divided by): the reference. */
  from: 0 | 1;
  to: 0 | 1;
  /** Such as "repair - replacement": the sign of a difference reads along it. */
  direction: string;
}

/**
 * The direction of a difference or ratio of two groups: the second label, in order, minus (over) the
 * first, unless `reference` names the one that is subtracted.
 *
 * @throws {DataError} for a reference that is neither label.
 */
export function directionOf(
  labels: readonly (string | number)[],
  reference: string | number | undefined,
): Direction {
  const place = reference === undefined ? 0 : labels.indexOf(reference);
  if (place !== 0 && place !== 1) {
    throw new DataError("reference", `one of ${labels.map(String).join(", ")}`, reference);
  }
  const from = place;
  const to = place === 0 ? 1 : 0;
  return { from, to, direction: `${labels[to]} - ${labels[from]}` };
}
