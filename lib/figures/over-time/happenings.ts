import { type StepCurve, stepValue } from "../drawing/mod.ts";

/** Something to be marked on a time axis. */
export interface Happening {
  at: number;
  label: string;
}

/** Differences smaller than this are a matter of chance to the eye, and no order of two curves. */
const apart = 0.01;

/**
 * Where two curves change their order for good: the first time at which the one that was behind is
 * ahead by a point in 100, where they were a point apart the other way before and it happens once.
 */
export function crossing(
  [first, second]: readonly [StepCurve, StepCurve],
  { start, horizon, smallestAtRisk = 0 }: {
    start: number;
    horizon: number;
    smallestAtRisk?: number;
  },
): Happening[] {
  const until = Math.min(horizon, lastOf(first, smallestAtRisk), lastOf(second, smallestAtRisk));
  const times = [...new Set([...Array.from(first.time), ...Array.from(second.time)])]
    .filter((time) => time <= until).sort((a, b) => a - b);
  const turns: number[] = [];
  let order = 0;
  for (const time of times) {
    const gap = stepValue(first, { time, start }) - stepValue(second, { time, start });
    if (!(Math.abs(gap) >= apart)) continue;
    if (order !== 0 && Math.sign(gap) !== order) turns.push(time);
    order = Math.sign(gap);
  }
  const [at] = turns;
  return at !== undefined && turns.length === 1 ? [{ at, label: "curves have crossed" }] : [];
}

/**
 * The first time from which fewer than `smallestAtRisk` of any group are left, where there is one.
 */
export function fewLeft(
  curves: readonly StepCurve[],
  { horizon, smallestAtRisk }: { horizon: number; smallestAtRisk: number },
): Happening[] {
  const at = Math.min(...curves.map((curve) => lastOf(curve, smallestAtRisk)));
  return at < horizon ? [{ at, label: `fewer than ${smallestAtRisk} left in a group` }] : [];
}

/** What happens to curves that a reader should not have to find: they cross, or few are left. */
export function happeningsOf(
  curves: readonly StepCurve[],
  frame: { start: number; horizon: number; smallestAtRisk: number },
): Happening[] {
  const [first, second] = curves;
  const crossed = first && second && curves.length === 2 ? crossing([first, second], frame) : [];
  return [...crossed, ...fewLeft(curves, frame)];
}

/** The last time before which at least so many are at risk; Infinity where they always are. */
function lastOf({ time, atRisk }: StepCurve, smallest: number): number {
  if (!atRisk) return Infinity;
  const row = Array.from(time).findIndex((_, i) => (atRisk[i] ?? Infinity) < smallest);
  if (row < 0) return Infinity;
  return row === 0 ? 0 : time[row - 1] ?? 0;
}
