import { effectiveMeans } from "../../words/mod.ts";
import type { TableItem } from "../items/mod.ts";
import { countOf } from "./facts.ts";

/** Whom a curve is of, and of what. */
export interface SampleCurve {
  sample: "whole" | "matched";
  endpoint: "survival" | "recurrence" | "reoperation";
}

/**
 * Sample and endpoint of a table or figure by its id; numbers of weighted ones are
 * effective numbers, not counts.
 */
export function curveOf(id: string): SampleCurve | undefined {
  const sample = /(?:^|-)(whole|matched)(?:-|$)/.exec(id)?.[1];
  const endpoint = /^(survival|recurrence|reoperation)(?:-|$)/.exec(id)?.[1];
  if (sample !== "whole" && sample !== "matched") return undefined;
  return endpoint === "survival" || endpoint === "recurrence" || endpoint === "reoperation"
    ? { sample, endpoint }
    : undefined;
}

/** How many of a group are at risk of something at a time, in years. */
export function atRiskOf(group: string, { sample, endpoint }: SampleCurve, years: number): string {
  return countOf(group, `at risk of ${endpoint} at ${years} y, ${sample}`);
}

/** Whether a table's numbers at risk are effective numbers under weights, and count nobody. */
export function isEffective({ notes = [] }: Pick<TableItem, "notes">): boolean {
  return notes.some((note) => note.startsWith(effectiveMeans));
}
