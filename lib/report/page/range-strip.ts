import type { FindingData } from "../items/mod.ts";
import { type Element, s } from "../tree/mod.ts";

/**
 * A finding's difference and plausible range as a strip beside its sentence: zero in the middle,
 * the band of differences too small to matter behind it. The words carry the same, so the drawing
 * is hidden from screen readers.
 *
 * @param words What is counted, and what lies left and right of zero.
 */
export function rangeStrip(
  finding: FindingData,
  words: { what: string; left: string; right: string },
): Element {
  const { estimate, lower, upper } = finding.difference;
  const margin = finding.smallestThatMatters;
  const reach = niceReach(Math.max(Math.abs(lower), Math.abs(upper), 2 * margin));
  const width = 380;
  const x = (value: number) => round(width / 2 + (value / reach) * (width / 2 - 14));
  const ticks = [-reach, -reach / 2, 0, reach / 2, reach];
  return s(
    "svg.strip",
    { viewBox: `0 0 ${width} 98`, ariaHidden: "true", focusable: "false" },
    s("text.what", { x: 0, y: 12 }, words.what),
    s("rect.margin", {
      x: x(-margin),
      y: 24,
      width: round(x(margin) - x(-margin)),
      height: 34,
    }),
    s("line.zero", { x1: x(0), x2: x(0), y1: 20, y2: 62 }),
    s("line.range", { x1: x(lower), x2: x(upper), y1: 41, y2: 41 }),
    s("circle.point", { cx: x(estimate), cy: 41, r: 6.5 }),
    ticks.map((tick) =>
      s("text", { x: x(tick), y: 76, textAnchor: "middle" }, Math.abs(round(tick * 100)))
    ),
    s("text.side", { x: 0, y: 94 }, `← ${words.left}`),
    s("text.side", { x: width, y: 94, textAnchor: "end" }, `${words.right} →`),
  );
}

/** The least round number of patients per 100 that holds the range. */
function niceReach(reach: number): number {
  const steps = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8];
  return steps.find((step) => reach <= step) ?? 1;
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
