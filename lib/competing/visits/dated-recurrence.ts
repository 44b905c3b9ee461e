import { filterRows } from "../../numerics/mod.ts";
import { intervalCensoredIncidence } from "./interval-censored-incidence.ts";
import { type RecurrenceEstimate, recurrenceShortcuts } from "./recurrence-shortcuts.ts";

/** Recurrence as visits bracket it in both groups, one value a patient at risk of it. */
export interface BracketedRecurrence {
  /** The patient's place among the weights. */
  rows: ArrayLike<number>;
  /** 1 = repair. */
  treated: ArrayLike<number>;
  /** Years: the last look that was clear; the first that was not, Infinity if none was. */
  lastClear: Float64Array;
  /** Time of the visit that found it; Infinity where none did. */
  found: Float64Array;
  /** Years until death or the end of looking, and 1 where that was death. */
  time: Float64Array;
  /** 1 where the patient died at `time`. */
  death: Uint8Array;
}

/** Recurrence in one group, dated in every way. */
export interface DatedRecurrence {
  /** 1 = repair. */
  group: 0 | 1;
  /** See {@link recurrenceShortcuts}. */
  ways: RecurrenceEstimate[];
  /**
   * How many times as likely death is with a recurrence as without; 1 where it could not be told.
   */
  deathRateRatio: number;
}

/**
 * Recurrence dated by the estimate between visits, by the shortcuts and at its bounds, in each
 * group, repair first. A group in which no visit found any is not in the result.
 *
 * Limits, and the difference between the groups, are those of `recurrenceBetweenVisits`.
 *
 * @param options.weight One a row of the analysis, such as weights that make the groups alike.
 * @example
 * ```ts ignore
 * import { datedRecurrence, openAnalysis, recurrenceLookedFor, weightedSample } from "mitral";
 * const { analysis, study } = await openAnalysis();
 * const { weight } = weightedSample(analysis, study);
 * datedRecurrence(recurrenceLookedFor(analysis), { weight, times: [1, 5] });
 * ```
 * @throws {DataError} as {@link intervalCensoredIncidence}.
 */
export function datedRecurrence(
  looked: BracketedRecurrence,
  { weight, times }: { weight: ArrayLike<number>; times: readonly number[] },
): DatedRecurrence[] {
  const { treated, rows, lastClear, found, time, death } = looked;
  const columns = {
    lastClear,
    found,
    time,
    death,
    weight: Float64Array.from(rows, (row) => weight[row]!),
  };
  return ([1, 0] as const).flatMap((group): DatedRecurrence[] => {
    const own = filterRows(columns, (row) => treated[row] === group);
    if (!own.found.some((years) => years < Infinity)) return [];
    const fit = intervalCensoredIncidence(own);
    const deathRateRatio = fit.converged && fit.deathRateRatio > 0 ? fit.deathRateRatio : 1;
    return [{
      group,
      ways: recurrenceShortcuts(own, { times: [...times] }),
      deathRateRatio,
    }];
  });
}
