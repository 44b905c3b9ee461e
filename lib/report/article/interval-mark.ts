import { type Element, s } from "../tree/mod.ts";

/** Patients per 100: a difference and its limits. */
interface Range {
  difference: number;
  lower: number;
  upper: number;
}

const width = 120;
const height = 12;

/**
 * How far the marks of a grid reach on both sides of 0: one scale for all, so that they compare.
 */
export function reachOf(
  cells: readonly { lower: number | null; upper: number | null }[],
): number {
  const limits = cells.flatMap(({ lower, upper }) => [Math.abs(lower ?? 0), Math.abs(upper ?? 0)]);
  return Math.max(5, ...limits);
}

/**
 * A difference and its plausible range as a mark of a line's height: no difference in the middle.
 * The words beside it say the same, so it is hidden from screen readers.
 */
export function intervalMark({ difference, lower, upper }: Range, reach: number): Element {
  const x = (value: number) =>
    Math.round(10 * (width / 2 + (value / reach) * (width / 2 - 4))) / 10;
  return s(
    "svg.mark",
    { viewBox: `0 0 ${width} ${height}`, ariaHidden: "true", focusable: "false" },
    s("line.zero", { x1: x(0), x2: x(0), y1: 0, y2: height }),
    s("line.limits", { x1: x(lower), x2: x(upper), y1: height / 2, y2: height / 2 }),
    [lower, upper].map((limit) => s("line.limits", { x1: x(limit), x2: x(limit), y1: 3, y2: 9 })),
    s("circle.point", { cx: x(difference), cy: height / 2, r: 2.5 }),
  );
}
