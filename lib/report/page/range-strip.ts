import { escapeHtml, type FindingData } from "../show/mod.ts";

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
): string {
  const { estimate, lower, upper } = finding.difference;
  const margin = finding.smallestThatMatters;
  const reach = niceReach(Math.max(Math.abs(lower), Math.abs(upper), 2 * margin));
  const width = 380;
  const x = (value: number) => round(width / 2 + (value / reach) * (width / 2 - 14));
  const ticks = [-reach, -reach / 2, 0, reach / 2, reach];
  return `<svg class="strip" viewBox="0 0 ${width} 98" aria-hidden="true" focusable="false">
<text class="what" x="0" y="12">${escapeHtml(words.what)}</text>
<rect class="margin" x="${x(-margin)}" y="24" width="${round(x(margin) - x(-margin))}" height="34"/>
<line class="zero" x1="${x(0)}" x2="${x(0)}" y1="20" y2="62"/>
<line class="range" x1="${x(lower)}" x2="${x(upper)}" y1="41" y2="41"/>
<circle class="point" cx="${x(estimate)}" cy="41" r="6.5"/>
${
    ticks.map((tick) =>
      `<text x="${x(tick)}" y="76" text-anchor="middle">${Math.abs(round(tick * 100))}</text>`
    ).join("")
  }
<text class="side" x="0" y="94">← ${escapeHtml(words.left)}</text>
<text class="side" x="${width}" y="94" text-anchor="end">${escapeHtml(words.right)} →</text>
</svg>`;
}

/** The least round number of patients per 100 that holds the range. */
function niceReach(reach: number): number {
  const steps = [0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.8];
  return steps.find((step) => reach <= step) ?? 1;
}

function round(value: number): number {
  return Math.round(value * 10) / 10;
}
