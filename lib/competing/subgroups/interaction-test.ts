import { distributions, MANY, SeededRandom } from "../../numerics/mod.ts";
import type { SidedFollowUp, SideIncidence } from "./side-incidence.ts";

/** How a test by permutation goes about it. */
export interface PermutationOptions {
  /** Lines drawn at random, default 999. */
  assignments?: number;
  /** Of the draw, default 1. */
  seed?: number;
  /** With fewer events than this in all there is no test, default 10. */
  fewestEvents?: number;
}

/** What chance alone makes of an interaction. */
export interface PermutedInteraction {
  /** (1 + lines as far from 0) / (1 + lines); NaN with too few events. */
  pValue: number;
  /** What |estimate| / standard error stays below in a share `confidence` of random lines. */
  critical: number;
}

/** With so many events on each side of each group the distance is normal, as far as is printed. */
const manyEvents = 100;

/**
 * What chance makes of an interaction where there are many patients and events, by the normal
 * distribution that {@link permuteLines} comes to; undefined where there are too few to say so.
 */
export function normalInteraction(
  groups: readonly Pick<SideIncidence, "events">[],
  { n, observed, tail }: { n: number; observed: number; tail: number },
): PermutedInteraction | undefined {
  const fewest = groups.flatMap(({ events }) => [...events])
    .reduce((least, events) => Math.min(least, events), Infinity);
  if (n <= MANY || fewest < manyEvents) return undefined;
  return {
    pValue: distributions.normalTwoSided(observed),
    critical: distributions.normalUpperQuantile(tail),
  };
}

/** The interaction, difference on side 1 less difference on side 0, and its variance. */
export function interactionOf(
  first: SideIncidence,
  second: SideIncidence,
  tail: number,
): { estimate: number; standardError: number } {
  const estimate = second.estimate[1]! - first.estimate[1]! -
    (second.estimate[0]! - first.estimate[0]!);
  let variance = 0;
  for (const group of [first, second]) {
    for (const s of [0, 1]) variance += Math.max(group.variance[s]!, unseen(group, s, tail));
  }
  return { estimate, standardError: Math.sqrt(variance) };
}

/**
 * No event is not certainty: what is still possible where none was seen, 1 - tail^(1 / Y) with Y at
 * risk after the horizon, taken as the reach of two-sided limits and turned into a variance.
 */
function unseen({ events, beyond }: SideIncidence, s: number, tail: number): number {
  if (events[s]! > 0) return 0;
  const upper = beyond[s]! > 0 ? 1 - tail ** (1 / beyond[s]!) : 1;
  return (upper / 2) ** 2;
}

/**
 * Draws lines at random within each group, so that the sides have as many rows as they have, and
 * asks how far from 0 the interaction comes, in its standard errors.
 *
 * Dividing by the error makes the test right in large samples also where the line matters alike in
 * both groups, or weights go with it; with few events it is exact where the line means nothing.
 *
 * @param sides Of the places of each group.
 * @see Chung & Romano (2013) Ann Stat 41:484-507 (permuting a studentised statistic); Phipson &
 * Smyth (2010) Stat Appl Genet Mol Biol 9:39 (the p value of a drawn sample).
 */
export function permuteLines(
  groups: [SidedFollowUp, SidedFollowUp],
  sides: [Uint8Array, Uint8Array],
  { observed, tail, assignments, seed }: {
    /** Of the line itself: |estimate| / standard error. */
    observed: number;
    tail: number;
    assignments: number;
    seed: number;
  },
): PermutedInteraction {
  const random = new SeededRandom(seed);
  const drawn = sides.map((side) => side.slice()) as [Uint8Array, Uint8Array];
  const distances = new Float64Array(assignments);
  let far = 0;
  for (let k = 0; k < assignments; k++) {
    for (const side of drawn) random.shuffle(side);
    const { estimate, standardError } = interactionOf(
      groups[0].estimate(drawn[0]),
      groups[1].estimate(drawn[1]),
      tail,
    );
    const distance = standardError > 0 ? Math.abs(estimate) / standardError : 0;
    distances[k] = distance;
    if (distance >= observed * (1 - 1e-9)) far++;
  }
  distances.sort();
  const place = Math.ceil((1 - 2 * tail) * (assignments + 1)) - 1;
  return {
    pValue: (1 + far) / (1 + assignments),
    critical: place < assignments ? distances[place]! : Infinity,
  };
}
