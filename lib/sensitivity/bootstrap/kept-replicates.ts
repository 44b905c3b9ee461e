import { plainHash } from "../../numerics/memory/mod.ts";
import { runPaths } from "../../study/file/mod.ts";
import type { ReplicateJob } from "./replicate-range.ts";

/** Replicates of a job, from the first to the last and the jackknife's after them. */
export interface KeptReplicates {
  /** From {@link jobKey}. */
  key: string;
  /** The values of each replicate, one after the other. */
  values: Float64Array;
}

/**
 * What tells a job from every other: SHA-256 of all that its replicates follow from but the code.
 * The address of the statistic's module is left out, for the same job may be done on another
 * machine.
 */
export function jobKey({ statistic, units, seed, wanted, parts, drawn }: ReplicateJob): string {
  const { name, input } = statistic;
  return plainHash({ name, input, units, seed, wanted, parts, drawn });
}

/** Replicates as text, one job a line; every bit of a number comes back. */
export function replicatesText(kept: readonly KeptReplicates[]): string {
  return kept.map(({ key, values }) => `${key} ${base64(values)}\n`).join("");
}

/** What {@link replicatesText} wrote. @throws {SyntaxError} on what is no such text. */
export function replicatesFrom(text: string): KeptReplicates[] {
  return text.split("\n").filter((line) => line !== "").map((line) => {
    const [key = "", values = ""] = line.split(" ");
    return { key, values: new Float64Array(Uint8Array.fromBase64(values).buffer) };
  });
}

function base64({ buffer, byteOffset, byteLength }: Float64Array): string {
  return new Uint8Array(buffer, byteOffset, byteLength).toBase64();
}

/**
 * Replicates of a job that were worked out elsewhere and that a run has at hand; undefined where
 * there are none of just this job.
 *
 * @param count How many numbers there must be.
 */
export async function replicatesAtHand(
  job: ReplicateJob,
  count: number,
): Promise<Float64Array | undefined> {
  const path = runPaths().replicates;
  if (path === undefined) return undefined;
  const text = await Deno.readTextFile(path).catch(() => "");
  if (text === "") return undefined;
  const key = jobKey(job);
  const found = replicatesFrom(text).find((one) => one.key === key);
  return found?.values.length === count ? found.values : undefined;
}
