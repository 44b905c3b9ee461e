import type { WeightedSample } from "../../balance/samples/mod.ts";
import { contrastsOf, type EndpointContrast } from "../../comparisons/populations/mod.ts";

/**
 * The weighted share in both groups of something that is so or not, and the difference with limits:
 * cumulative incidence at a time by which all is known, so that few events are treated as there.
 *
 * @param data.holds 1, 0, or NaN where it is not known; such rows are left out.
 * @param data.group 1 = repair.
 * @param data.sample Whose weights, and those of its completed sets.
 * @returns null where it is known in one group only.
 */
export function shareBetween(
  { holds, group, sample }: {
    holds: ArrayLike<number>;
    group: ArrayLike<number>;
    sample: Pick<WeightedSample, "weight" | "inSets">;
  },
  { confidence }: { confidence: number },
): EndpointContrast | null {
  const { weight, inSets } = sample;
  const known = Array.from(holds, (value, i) => Number.isNaN(value) ? -1 : i)
    .filter((i) => i >= 0 && weight[i]! > 0);
  if (new Set(known.map((i) => group[i])).size < 2) return null;
  const columns = {
    design: "weighted" as const,
    time: Float64Array.from(known, (i) => holds[i] === 1 ? 0.5 : 1),
    event: Int32Array.from(known, (i) => holds[i]!),
    group: Uint8Array.from(known, (i) => group[i]!),
  };
  const under = (own: Float64Array) => ({
    ...columns,
    weight: Float64Array.from(known, (i) => own[i]!),
  });
  const [contrast] = contrastsOf("share", {
    ...under(weight),
    ...(inSets && { inSets: inSets.map((set) => under(set.weight)) }),
  }, { times: [0.75], confidence });
  return contrast!;
}
