import { DataError, type Numbers } from "../../numerics/mod.ts";

/** A step function with limits, as an estimator returns it: one row per distinct time. */
export interface StepCurve {
  time: Numbers;
  estimate: Numbers;
  lower?: Numbers;
  upper?: Numbers;
  /** At risk just before each time. */
  atRisk?: Numbers;
  /** Whether these are effective numbers under weights, not patients. */
  effective?: boolean;
}

/** One corner of a step function: the values hold from this time on. */
export interface StepPoint {
  time: number;
  estimate: number;
  lower: number;
  upper: number;
}

/** A stretch of a curve drawn in one manner. */
export interface StepStretch {
  /** Fewer are at risk than the study asks for. */
  faint: boolean;
  points: StepPoint[];
}

/** What is drawn of a curve. */
export interface StepDrawing {
  stretches: StepStretch[];
  /** Where it ends. */
  end: StepPoint;
  /** Where it first turns faint, if it does. */
  faintFrom?: number;
}

/**
 * Cuts a step function at the horizon and into stretches by the number at risk.
 *
 * Between two rows the number at risk is that of the later row, so a stretch turns faint at the row
 * after which fewer than `smallestAtRisk` are left. Nothing is drawn past the last row.
 *
 * @param options.start The value at time zero: 1 for survival, 0 for incidence.
 * @param options.resolution Rows closer than this are drawn as one step; the last of them counts.
 */
export function stepDrawing(
  curve: StepCurve,
  options: {
    start: number;
    /** The lower value at time zero, where it is not the same. */
    startLower?: number;
    horizon: number;
    smallestAtRisk?: number;
    whereFew?: "fade" | "stop";
    resolution?: number;
  },
): StepDrawing {
  checkCurve(curve);
  const { start, horizon, smallestAtRisk = 0, whereFew = "fade", resolution = 0 } = options;
  let last: StepPoint = {
    time: 0,
    estimate: start,
    lower: options.startLower ?? start,
    upper: start,
  };
  let stretch: StepStretch = { faint: few(curve, 0, smallestAtRisk), points: [last] };
  const stretches = [stretch];
  for (let i = 0; i < curve.time.length; i++) {
    const faint = few(curve, i, smallestAtRisk);
    if (faint !== stretch.faint) {
      if (faint && whereFew === "stop") break;
      endStretch(stretch, last);
      stretch = { faint, points: [last] };
      stretches.push(stretch);
    }
    const time = curve.time[i] ?? NaN;
    if (time > horizon) {
      last = { ...last, time: horizon };
      break;
    }
    const point = pointAt(curve, i);
    const held = stretch.points.at(-1);
    const changed = !Object.is(point.estimate, last.estimate) ||
      !Object.is(point.lower, last.lower) || !Object.is(point.upper, last.upper);
    last = point;
    if (!changed) continue;
    if (held && time - held.time < resolution && stretch.points.length > 1) {
      stretch.points[stretch.points.length - 1] = { ...point, time: held.time };
    } else stretch.points.push(point);
  }
  // nobody is left to live: the curve stays at zero whoever was seen last
  if (start === 1 && last.estimate === 0 && options.startLower === undefined) {
    last = { ...last, time: horizon };
  }
  endStretch(stretch, last);
  const faintFrom = stretches.find(({ faint }) => faint)?.points[0]?.time;
  return { stretches, end: last, ...(faintFrom !== undefined && { faintFrom }) };
}

/** Draws a stretch on to where it ends. */
function endStretch(stretch: StepStretch, last: StepPoint): void {
  const held = stretch.points.at(-1);
  if (!held || held.time < last.time || held.estimate !== last.estimate) {
    stretch.points.push(last);
  }
}

function few(curve: StepCurve, i: number, smallest: number): boolean {
  const count = curve.atRisk?.[i];
  return count !== undefined && count < smallest;
}

function pointAt(curve: StepCurve, i: number): StepPoint {
  return {
    time: curve.time[i] ?? NaN,
    estimate: curve.estimate[i] ?? NaN,
    lower: curve.lower?.[i] ?? NaN,
    upper: curve.upper?.[i] ?? NaN,
  };
}

/** The value a step function holds at a time; NaN past its last row. */
export function stepValue(curve: StepCurve, options: { time: number; start: number }): number {
  const row = rowAtOrBefore(curve.time, options.time);
  if (row < 0) return options.start;
  const past = row === curve.time.length - 1 && options.time > tolerant(curve.time, row);
  return past ? NaN : curve.estimate[row] ?? NaN;
}

/** Reads the number at risk just before each time: 0 past the last row. */
export function numberAtRisk(
  curve: Pick<StepCurve, "time" | "atRisk">,
  times: readonly number[],
): number[] {
  const { time, atRisk } = curve;
  if (!atRisk) throw new DataError("curve.atRisk", "given, or the counts themselves", atRisk);
  return times.map((t) => {
    let low = 0;
    let high = time.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (tolerant(time, middle) >= t) high = middle;
      else low = middle + 1;
    }
    return atRisk[low] ?? 0;
  });
}

function rowAtOrBefore(time: Numbers, t: number): number {
  let low = 0;
  let high = time.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((time[middle] ?? NaN) - slack(time) <= t) low = middle + 1;
    else high = middle;
  }
  return low - 1;
}

/** A row's time, so much later that equal times count as equal whatever their last digit. */
function tolerant(time: Numbers, row: number): number {
  return (time[row] ?? NaN) + slack(time);
}

function slack(time: Numbers): number {
  return 1e-9 * Math.abs(time[time.length - 1] ?? 0);
}

function checkCurve(curve: StepCurve): void {
  const { time } = curve;
  for (let i = 0; i < time.length; i++) {
    const t = time[i] ?? NaN;
    const before = i === 0 ? 0 : time[i - 1] ?? 0;
    if (!(t >= 0 && Number.isFinite(t))) throw new DataError("curve.time", "finite, >= 0", t, i);
    if (t < before) throw new DataError("curve.time", "ascending", t, i);
  }
  for (const name of ["estimate", "lower", "upper", "atRisk"] as const) {
    const column = curve[name];
    if (column && column.length !== time.length) {
      throw new DataError(`curve.${name}`, `of length ${time.length}`, column);
    }
  }
  for (let i = 0; i < time.length; i++) {
    const value = curve.estimate[i] ?? NaN;
    if (!Number.isFinite(value)) throw new DataError("curve.estimate", "finite", value, i);
  }
}
