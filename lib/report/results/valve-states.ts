import type { GroupLabels } from "../items/mod.ts";
import type { ValveCourse } from "../../cohort/follow-up/mod.ts";
import {
  expectedTimeDifference,
  stateOccupation,
  type StateTimeContrast,
  transitionRows,
} from "../../competing/states/mod.ts";
import type { AtRiskColumns, StatesGroup } from "../../figures/over-time/mod.ts";
import { DataError, filterRows } from "../../numerics/mod.ts";
import { kaplanMeier } from "../../survival/curve/mod.ts";

/** Where the patients of both groups are over time, weighted. */
export interface ValveStates {
  /** Names of the states, from operated on to dead. */
  states: string[];
  /** Repair first, each with how many are alive and followed: patients, not weights. */
  groups: StatesGroup[];
  /** Years of the first `horizon` spent in each state, repair minus replacement. */
  time: StateTimeContrast[];
}

/**
 * The share of each group in each state of the valve's course over time, and the time spent in each
 * within a horizon.
 *
 * @param options.weight One a row of the analysis, such as weights that make the groups alike.
 * @param options.alive Survival of all eligible patients by group, whose numbers at risk are
 * published: those followed here are among them.
 * @example
 * ```ts
 * import { openAnalysis, valveCourse, valveStates, weightedSample } from "mitral";
 * const { analysis, study, labels } = await openAnalysis();
 * const { weight } = weightedSample(analysis, study);
 * const { groups, time } = valveStates(valveCourse(analysis), { weight, labels, horizon: 5 });
 * ```
 * @throws {DataError} as `stateOccupation` and `expectedTimeDifference`, and of a course of nobody.
 */
export function valveStates(
  course: ValveCourse,
  { weight, labels, horizon, confidence, alive = [] }: {
    weight: ArrayLike<number>;
    labels: GroupLabels;
    horizon: number;
    confidence?: number;
    alive?: readonly { group: string | number; curve: AtRiskColumns }[];
  },
): ValveStates {
  const { time, death, stages } = course;
  if (course.rows.length === 0) {
    const expected =
      "of at least one patient whose grade on leaving theatre and reinterventions are known";
    throw new DataError("course", expected);
  }
  const { row: patient, states, ...stays } = transitionRows({ time, death, stages });
  const stay = {
    ...stays,
    weight: Float64Array.from(patient, (i) => weight[course.rows[i]!]!),
    group: Uint8Array.from(patient, (i) => course.treated[i]!),
  };
  const groups = [1, 0].map((code): StatesGroup => {
    const { group: _, ...own } = filterRows(stay, (i) => stay.group[i] === code);
    const occupation = stateOccupation(own, { states, confidence });
    const followed = filterRows(
      { time, event: death },
      (i) => course.treated[i] === code,
    );
    return {
      label: code === 1 ? labels.repair : labels.replacement,
      time: occupation.time,
      occupancy: occupation.states.map(({ probability }) => probability),
      alive: kaplanMeier(followed),
      within: alive.filter(({ group }) => Number(group) === code).map(({ curve }) => curve),
    };
  });
  return {
    states: ["Alive, no recurrence", "Alive, recurrence found", "Alive, operated again", "Died"],
    groups,
    time: expectedTimeDifference(stay, { horizon, states, confidence }),
  };
}
