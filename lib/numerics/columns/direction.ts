import { DataError } from "./errors.ts";

/** Which of two groups is taken from which, and how that is written. */
export interface Direction {
  /** Place of the group that is subtracted (divided by): the reference. */
  from: 0 | 1;
  to: 0 | 1;
  /** Such as "repair - replacement": the sign of a difference reads along it. */
  direction: string;
  /** The same of a ratio: "repair / replacement". */
  over: string;
  /** 1 where the reference is the first of the two, -1 where it is the second. */
  sign: 1 | -1;
}

/**
 * The direction of a difference or ratio of two groups: the second label, in order, minus (over)
 * the first, unless `reference` names the one that is subtracted.
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
  const [first, second] = [labels[to], labels[from]];
  return {
    from,
    to,
    direction: `${first} - ${second}`,
    over: `${first} / ${second}`,
    sign: from === 0 ? 1 : -1,
  };
}

/** A difference, or the logarithm of a ratio, turned round where the sign is -1. */
export function turned<T extends { estimate: number; lower: number; upper: number }>(
  interval: T,
  sign: 1 | -1,
): T {
  if (sign === 1) return interval;
  const { estimate, lower, upper } = interval;
  return { ...interval, estimate: -estimate, lower: -upper, upper: -lower };
}

/** A ratio turned upside down where the sign is -1. */
export function turnedOver<T extends { lower: number; upper: number }>(
  interval: T & { estimate?: number; hazardRatio?: number },
  sign: 1 | -1,
): T {
  if (sign === 1) return interval;
  const { estimate, hazardRatio, lower, upper } = interval;
  return {
    ...interval,
    ...(estimate !== undefined && { estimate: 1 / estimate }),
    ...(hazardRatio !== undefined && { hazardRatio: 1 / hazardRatio }),
    lower: 1 / upper,
    upper: 1 / lower,
  };
}
