import type { Analysis } from "../../cohort/model/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import type { ToWrite } from "./what-to-write.ts";

/** One thing the plan asks for, and what the report will be able to do about it. */
export interface Foretold {
  /**
   * shown: as planned; limited: with less than was planned, which the report says; absent: not at
   * all, which the report says too.
   */
  verdict: "shown" | "limited" | "absent";
  /** The part of the study file it is about, such as `adjustment.covariates[4]`. */
  where: string;
  /** What is asked for. */
  what: string;
  /** What these data have for it. */
  found: string;
  /** What to write in the study file instead, where something else would do. */
  instead?: { path: readonly string[]; name: string; value: unknown };
  /** The same, with the line it belongs on. */
  write?: ToWrite;
}

/** A number of patients, in words of a line. */
export function count(n: number): string {
  return formatNumber(n, { digits: 0 });
}

/** The same of both groups, named as the plan does. */
export function both(analysis: Analysis, repair: string, replacement: string): string {
  const { labels } = analysis.groups;
  return `${labels.repair} ${repair}, ${labels.replacement} ${replacement}`;
}

/** What is worked out, or why these patients do not allow it. */
export function unlessRefused<T extends object>(work: () => T): T | string {
  try {
    return work();
  } catch (error) {
    if (!(error instanceof DataError)) throw error;
    return error.message;
  }
}
