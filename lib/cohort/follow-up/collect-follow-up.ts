import type { EndpointId } from "../../study/plan/mod.ts";
import { daysPerYear, type LeftOutReason, leftOutReasons } from "./course.ts";
import type { Analysis } from "../model/mod.ts";

/** Patients of the analysis who are not at risk of an endpoint, by reason and group. */
export interface LeftOut {
  /** Why, in words. */
  reason: string;
  /** Patients. */
  n: number;
  /** Of the repair group. */
  repair: number;
  /** Of the replacement group. */
  replacement: number;
}

/** Follow-up for one endpoint, ready for the estimators. */
export interface EndpointFollowUp {
  /** Id of the endpoint. */
  endpoint: EndpointId;
  /** Name as readers see it. */
  label: string;
  /** Patients at risk, as rows of the analysis, ascending. `rows.length + Σ leftOut.n = n`. */
  rows: Int32Array;
  /** Years from operation; 0 for a death in theatre. */
  time: Float64Array;
  /** 0 censored; otherwise `causes[event - 1]` came first. */
  event: Int32Array;
  /** 1 = repair, for the same rows. */
  treated: Uint8Array;
  /** What events 1, 2, ... are. */
  causes: string[];
  /** Patients not counted, and why. */
  leftOut: LeftOut[];
}

/** Gathers patients in their order, at risk or left out, until everybody is accounted for. */
export function collectFollowUp(analysis: Analysis) {
  const rows = new Int32Array(analysis.n);
  const years = new Float64Array(analysis.n);
  const events = new Int32Array(analysis.n);
  let added = 0;
  const out = new Map<LeftOutReason, LeftOut>();
  let left = 0;
  return {
    add(row: number, day: number, event: number): void {
      rows[added] = row;
      years[added] = day / daysPerYear;
      events[added++] = event;
    },
    leaveOut(row: number, reason: LeftOutReason): void {
      const entry = out.get(reason) ??
        { reason: leftOutReasons[reason], n: 0, repair: 0, replacement: 0 };
      entry.n++;
      entry[analysis.treated[row] ? "repair" : "replacement"]++;
      out.set(reason, entry);
      left++;
    },
    finish(endpoint: EndpointId, label: string, causes: string[]): EndpointFollowUp {
      if (added + left !== analysis.n) throw new Error(`patients lost at ${endpoint}`);
      return {
        endpoint,
        label,
        rows: rows.slice(0, added),
        time: years.slice(0, added),
        event: events.slice(0, added),
        treated: Uint8Array.from({ length: added }, (_, k) => analysis.treated[rows[k]!]!),
        causes,
        leftOut: [...out.values()],
      };
    },
  };
}
