import { type ArmContrast, tailsOf } from "../../competing/arms/mod.ts";
import { cumulativeIncidenceByGroup } from "../../competing/incidence/mod.ts";
import { widening } from "../../missing/pool/mod.ts";
import { meanOf } from "../../numerics/mod.ts";

/** The share with an endpoint in each arm, in one completed set. */
export type ArmShares = Map<string | number, { estimate: number; standardError: number }>;

/** Each arm's share at a time: alive for death, else with the first cause. */
export function sharesIn(
  { time, event, arm, weight }: {
    time: Float64Array;
    event: Int32Array;
    arm: readonly number[];
    weight: Float64Array;
  },
  endpoint: string,
  at: number,
): ArmShares {
  const last = event.reduce((most, cause) => Math.max(most, cause), 1);
  const causes = Array.from({ length: last }, (_, k) => k + 1);
  const curves = cumulativeIncidenceByGroup({ time, event, group: arm, weight }, { causes });
  return new Map(curves.map(({ group, causes }) => {
    const { incidence, standardError } = causes[0]!.at([at]);
    const estimate = endpoint === "death" ? 1 - incidence[0]! : incidence[0]!;
    return [group, { estimate, standardError: standardError[0]! }];
  }));
}

/**
 * A comparison of arms under the mean weights, moved to the mean of its estimates in completed
 * sets, its errors and limits as many times as wide as what differs between the sets makes them.
 *
 * How many errors simultaneous limits reach does not hang on the sets.
 */
export function overSets(
  found: ArmContrast,
  sets: readonly ArmShares[],
  { degreesOfFreedom }: { degreesOfFreedom: number },
): ArmContrast {
  const sharesOf = (arm: string | number) => sets.map((shares) => shares.get(arm)!);
  return {
    ...found,
    arms: found.arms.map((arm) => moved(arm, sharesOf(arm.arm))),
    differences: found.differences.map((pair) => {
      const to = sharesOf(pair.to);
      const from = sharesOf(pair.from);
      const each = to.map(({ estimate }, k) => ({
        estimate: estimate - from[k]!.estimate,
        standardError: pair.standardError,
      }));
      const by = widening(each);
      const { lower, upper } = moved({ ...pair, ...pair.simultaneous }, each);
      const movedPair = moved(pair, each);
      const shift = (movedPair.estimate - pair.estimate) / pair.standardError;
      const anew = (pValue: number) =>
        shiftedP(pValue, { from: pair.estimate, shift, by, degreesOfFreedom });
      return {
        ...movedPair,
        pValue: anew(pair.pValue),
        simultaneous: { lower, upper, pValue: anew(pair.simultaneous.pValue) },
      };
    }),
  };
}

/**
 * The p value of a statistic that was moved by so many errors, errors then so many times as large:
 * of the estimate that is shown, as its limits are.
 */
function shiftedP(
  pValue: number,
  { from, shift, by, degreesOfFreedom }: {
    from: number;
    shift: number;
    by: number;
    degreesOfFreedom: number;
  },
): number {
  if (!(pValue > 0 && pValue <= 1 && Number.isFinite(shift))) return pValue;
  const { sizeOf, twoSided } = tailsOf(degreesOfFreedom);
  const size = sizeOf(pValue);
  return twoSided(Math.abs((from < 0 ? -size : size) + shift) / by);
}

function moved<
  I extends { estimate: number; standardError: number; lower: number; upper: number },
>(one: I, sets: readonly { estimate: number; standardError: number }[]): I {
  const by = widening(sets);
  const estimate = meanOf(sets.map((set) => set.estimate));
  return {
    ...one,
    estimate,
    standardError: by * one.standardError,
    lower: estimate - by * (one.estimate - one.lower),
    upper: estimate + by * (one.upper - one.estimate),
  };
}
