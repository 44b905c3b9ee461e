import { ownEvents, ventricleAfter } from "../../cohort/follow-up/mod.ts";
import { type Analysis, hasColumn, numericColumn, textColumn } from "../../cohort/model/mod.ts";

/** Something that is recorded of each patient as so or not. */
export interface RecordedShare {
  id: string;
  label: string;
  when: string;
  /** One a patient: 1, 0, or NaN where not known; null where the file does not have it. */
  holds: Float64Array | null;
}

// Mean gradient in mmHg above which a valve is called narrow (common practice, no source).
const highGradient = 5;

/**
 * What the dictionary's columns, and the study's own endpoints without a day, tell as yes or no.
 */
export function recordedShares(analysis: Analysis): RecordedShare[] {
  const { n, study } = analysis;
  const numbers = (name: string, test: (value: number) => boolean) => {
    if (!hasColumn(analysis, name)) return null;
    const column = numericColumn(analysis, name);
    return column.map((value) => Number.isNaN(value) ? NaN : test(value) ? 1 : 0);
  };
  const early = "within 30 days";
  const theatre = "on leaving theatre";
  const own = study.endpoints.flatMap(({ id, label, event }): RecordedShare[] =>
    event && event.day === undefined
      ? [{ id, label, when: "as recorded", holds: ownEvents(analysis, event) }]
      : []
  );
  return [
    ...own,
    { id: "stroke-30", label: "Stroke", when: early, holds: numbers("stroke_30", (x) => x === 1) },
    {
      id: "bleed-reop",
      label: "Reopened for bleeding",
      when: early,
      holds: numbers("bleed_reop", (x) => x === 1),
    },
    {
      id: "new-dialysis",
      label: "New dialysis",
      when: early,
      holds: numbers("new_dialysis", (x) => x === 1),
    },
    {
      id: "leak-at-exit",
      label: "Left theatre with a leak (2+ or worse)",
      when: theatre,
      holds: numbers("mr_exit", (grade) => grade >= 2),
    },
    {
      id: "converted",
      label: "Converted to the other operation",
      when: "in theatre",
      holds: converted(analysis),
    },
    {
      id: "high-gradient",
      label: `Mean gradient above ${highGradient} mmHg`,
      when: theatre,
      holds: numbers("grad_exit", (x) => x > highGradient),
    },
    {
      id: "weak-at-a-year",
      label: "Ejection fraction below 50%, of those measured",
      when: "at a year",
      holds: weakAtAYear(analysis, n),
    },
  ];
}

function converted(analysis: Analysis): Float64Array | null {
  if (!hasColumn(analysis, "intended") || !hasColumn(analysis, "final")) return null;
  const intended = textColumn(analysis, "intended");
  const final = textColumn(analysis, "final");
  return Float64Array.from(
    intended,
    (word, i) => word === "" || final[i] === "" ? NaN : word === final[i] ? 0 : 1,
  );
}

function weakAtAYear(analysis: Analysis, n: number): Float64Array | null {
  if (!hasColumn(analysis.visits, "lvef")) return null;
  const { rows, after } = ventricleAfter(analysis);
  const holds = new Float64Array(n).fill(NaN);
  rows.forEach((row, i) => holds[row] = after[i]! < 50 ? 1 : 0);
  return holds;
}
