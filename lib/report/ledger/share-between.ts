import { contrastsOf, type EndpointContrast } from "../../comparisons/populations/mod.ts";

/**
 * The weighted share in both groups of something that is so or not, and the difference with limits:
 * cumulative incidence at a time by which all is known, so that few events are treated as there.
 *
 * @param data.holds 1, 0, or NaN where it is not known; such rows are left out.
 * @param data.group 1 = repair.
 * @returns null where it is known in one group only.
 */
export function shareBetween(
  { holds, group, weight }: {
    holds: ArrayLike<number>;
    group: ArrayLike<number>;
    weight: ArrayLike<number>;
  },
  { confidence }: { confidence: number },
): EndpointContrast | null {
  const known = Array.from(holds, (value, i) => Number.isNaN(value) ? -1 : i)
    .filter((i) => i >= 0 && weight[i]! > 0);
  if (new Set(known.map((i) => group[i])).size < 2) return null;
  const [contrast] = contrastsOf("share", {
    design: "weighted",
    time: Float64Array.from(known, (i) => holds[i] === 1 ? 0.5 : 1),
    event: Int32Array.from(known, (i) => holds[i]!),
    group: Uint8Array.from(known, (i) => group[i]!),
    weight: Float64Array.from(known, (i) => weight[i]!),
  }, { times: [0.75], confidence });
  return contrast!;
}
