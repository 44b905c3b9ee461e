import { drawnRows, extentOf, valuesAt } from "../../numerics/mod.ts";
import { hasColumn, numericColumn } from "../../cohort/model/mod.ts";
import {
  type LearningCurve,
  learningCurve,
  type LearningPlateau,
  learningPlateau,
} from "../learning/mod.ts";
import type { OutcomeKind } from "../predictions/mod.ts";
import type { ProgrammeOperations } from "../operations/mod.ts";
import { followedOperations } from "./followed.ts";
import type { Withheld } from "./withheld.ts";

/**
 * What may change with a surgeon's experience: a repair given up, one left with a leak of grade 2
 * or more, one that failed (as the study defines failure) before the plan's first horizon, and
 * minutes of clamping.
 */
export type LearningOutcome = "conversion" | "residual-leak" | "early-failure" | "clamp-time";

/** A learning curve of the programme's surgeons. */
export interface ProgrammeLearning {
  /** Which outcome. */
  kind: OutcomeKind;
  /** Operations: of more than 50,000 so many, drawn at random. */
  n: number;
  /** Those they were drawn from, where they were. */
  of?: number;
  /** Operations with the event; absent for an amount. */
  events?: number;
  /** How many surgeons. */
  surgeons: number;
  /** The outcome by how many operations the surgeon had done. */
  curve: LearningCurve;
  /** Where learning ends. */
  plateau: LearningPlateau;
}

// Fewer events say nothing of a curve (common practice, no source).
const fewest = 30;

/**
 * How an outcome of attempted repairs goes with the surgeon's experience, complexity, calendar year
 * and volume held apart. Experience counts every operation; of more than 50,000 operations the
 * model is fitted to so many, drawn at random by the plan's seed.
 *
 * @param complexity Points of each patient, as `programmeComplexity` gives them.
 */
export function programmeLearning(
  operations: ProgrammeOperations,
  outcome: LearningOutcome,
  complexity: ArrayLike<number>,
): ProgrammeLearning | Withheld {
  const values = outcomeOf(operations, outcome);
  if (!values) return { why: "The file does not have this outcome." };
  const { attempted, experience, volume, year, code, order, analysis } = operations;
  const known = [...order].filter((row) =>
    attempted[row] === 1 && !Number.isNaN(values[row]!) && !Number.isNaN(experience[row]!)
  );
  const rows = valuesAt(known, drawnRows(known.length, { seed: analysis.study.seed }));
  const kind = outcome === "clamp-time" ? "amount" : "event";
  const unit = Array.from(rows, (row) => code[row]!);
  const surgeons = new Set(unit).size;
  if (surgeons < 3) return { why: "Fewer than three surgeons have a known experience." };
  const column = valuesAt(values, rows);
  const events = column.reduce((sum, value) => sum + value, 0);
  if (kind === "event" && Math.min(events, rows.length - events) < fewest) {
    return { why: `Fewer than ${fewest} events, or others: too few for a curve.` };
  }
  const done = valuesAt(experience, rows);
  if (extentOf(done)[1] < 40) return { why: "No surgeon has done more than 40 operations." };
  const data = {
    outcome: column,
    unit,
    experience: done,
    covariates: {
      complexity: valuesAt(complexity, rows),
      "calendar year": valuesAt(year, rows),
      volume: valuesAt(volume, rows),
    },
  };
  const { confidence } = analysis.study;
  const curve = learningCurve(data, { kind, confidence });
  if (curve.reason !== undefined) return { why: `No curve could be fitted: ${curve.reason}.` };
  return {
    kind,
    n: rows.length,
    ...(rows.length < known.length && { of: known.length }),
    ...(kind === "event" && { events }),
    surgeons,
    curve,
    plateau: learningPlateau(data, { kind, confidence, points: 30 }),
  };
}

function outcomeOf(
  operations: ProgrammeOperations,
  outcome: LearningOutcome,
): Float64Array | undefined {
  const { analysis, converted, repaired } = operations;
  if (outcome === "conversion") return Float64Array.from(converted);
  if (outcome === "early-failure") return earlyFailures(operations);
  const column = outcome === "clamp-time" ? "clamp" : "mr_exit";
  if (!hasColumn(analysis, column)) return undefined;
  const values = numericColumn(analysis, column);
  if (outcome === "clamp-time") return values;
  // of repairs alone: a valve that was replaced has no leak of a repair
  return values.map((grade, row) =>
    repaired[row] === 0 || Number.isNaN(grade) ? NaN : grade >= 2 ? 1 : 0
  );
}

/**
 * 1 where a repair failed by the plan's first horizon, 0 where it had not by then, or by
 * a death before;
 * NaN for other patients, and where sight of the repair was lost before.
 */
function earlyFailures(operations: ProgrammeOperations): Float64Array {
  const horizon = Math.min(...operations.analysis.study.horizons);
  const { rows, repaired, time, event } = followedOperations(operations);
  const early = new Float64Array(operations.n).fill(NaN);
  rows.forEach((row, k) => {
    if (repaired[k] !== 1) return;
    if (time[k]! > horizon) early[row] = 0;
    else if (event[k]! > 0) early[row] = event[k] === 1 ? 1 : 0;
    else if (time[k] === horizon) early[row] = 0;
  });
  return early;
}
