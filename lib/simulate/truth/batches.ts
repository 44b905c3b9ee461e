import { DataError, meanOf, sampleSpreadOf } from "../../numerics/mod.ts";
import type { Raw } from "./tally.ts";
import type { TrueValue } from "./true-values.ts";

/** What one batch gave: numbers, by name and horizon. */
export type RawTree = Raw | RawTree[] | { [name: string]: RawTree };

/** Turns trees of numbers, one a batch, into one tree of means with their standard errors. */
export function combine(trees: RawTree[]): unknown {
  const first = trees[0]!;
  if (typeof first === "number") return overBatches(trees as number[]);
  if (Array.isArray(first)) {
    return first.map((_, k) => combine((trees as RawTree[][]).map((tree) => tree[k]!)));
  }
  if ("logRatio" in first) {
    const log = overBatches(trees.map((tree) => (tree as { logRatio: number }).logRatio));
    return {
      hazardRatio: Math.exp(log.estimate),
      logHazardRatio: log.estimate,
      standardError: log.standardError,
    };
  }
  const branches = trees as { [name: string]: RawTree }[];
  return Object.fromEntries(
    Object.keys(first).map((name) => [name, combine(branches.map((tree) => tree[name]!))]),
  );
}

function overBatches(values: number[]): TrueValue {
  const n = values.length;
  values.forEach((value, batch) => {
    if (!Number.isFinite(value)) {
      throw new DataError("n", "large enough for events in every batch", value, batch);
    }
  });
  return { estimate: meanOf(values), standardError: sampleSpreadOf(values) / Math.sqrt(n) };
}
