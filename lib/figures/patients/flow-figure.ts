import {
  element,
  type Figure,
  type FigureOptions,
  makeFigure,
  sentences,
  type SvgNode,
  textLines,
  wrapText,
} from "../drawing/mod.ts";
import {
  drawingWidth,
  type GroupRole,
  groupStyles,
  palette,
  styleAt,
  type as typeSize,
} from "../theme/mod.ts";
import { countText } from "../../words/mod.ts";
import { DataError } from "../../numerics/mod.ts";

/** A number of patients with its name. */
export interface FlowCount {
  /** Name as readers see it. */
  label: string;
  /** How many. */
  count: number;
}

/** Those who left at one point, and those who went on. */
export interface FlowStage {
  /** Who was left out at it. */
  excluded: readonly FlowCount[];
  /** Who is left after it. */
  remaining: FlowCount;
}

const lineHeight = 18;
/** Keeps the strokes of the outermost boxes within the drawing. */
const inset = 2;
const padding = 11;

/**
 * Who was studied: boxes from all patients of the file down to the groups, with those who left, and
 * why, to the right. Counts are printed as they are: reasons too rare to publish are joined before.
 *
 * @example
 * ```ts
 * import { flowFigure } from "mitral";
 * flowFigure({
 *   id: "flow",
 *   title: "Who was studied",
 *   start: { label: "Patients in the file", count: 1800 },
 *   steps: [{
 *     excluded: [{ label: "Emergency operation", count: 64 }],
 *     remaining: { label: "Eligible", count: 1736 },
 *   }],
 *   groups: [{ label: "Repair", count: 1024 }, { label: "Replacement", count: 712 }],
 * });
 * ```
 * @throws {DataError} Where the counts of a step or of the groups do not add up.
 */
export function flowFigure(
  options: FigureOptions & {
    start: FlowCount;
    steps: readonly FlowStage[];
    /** What the last box divides into; further lines are printed as they are. */
    groups?: readonly (FlowCount & { role?: GroupRole; lines?: readonly string[] })[];
    /** What was left out beside patients, a line each. */
    unused?: readonly string[];
  },
): Figure {
  const { start, steps, groups = [], unused = [], width = drawingWidth } = options;
  checkCounts(options);
  const left = { x: inset, width: Math.round(width * 0.46) };
  const right = { x: left.x + left.width + 26, width: width - left.x - left.width - 26 - inset };
  const axis = left.x + left.width / 2;
  const content: SvgNode[] = [];
  const place = (entry: FlowCount, y: number) => {
    const box = countBox(entry, { ...left, y });
    content.push(...box.content);
    return y + box.height;
  };
  let bottom = place(start, 1);
  for (const { excluded, remaining } of steps) {
    const kept = excluded.filter(({ count }) => count > 0);
    const out = kept.length > 0 ? excludedBox(kept, { ...right }) : undefined;
    const gap = Math.max(30, (out?.height ?? 0) + 16);
    content.push(arrow([axis, bottom], [axis, bottom + gap]));
    if (out) {
      const y = bottom + 8;
      content.push(arrow([axis, y + out.height / 2], [right.x, y + out.height / 2]));
      content.push(element("g", { transform: `translate(0,${y})` }, ...out.content));
    }
    bottom = place(remaining, bottom + gap);
  }
  if (groups.length > 0) {
    const fork = groupBoxes(groups, { width, from: [axis, bottom] });
    content.push(...fork.content);
    bottom = fork.bottom;
  }
  const beneath = unused.flatMap((line) => wrapText(line, width - 2, { size: typeSize.text }));
  if (beneath.length > 0) {
    const place = { x: 1, y: bottom + 26, leading: lineHeight, fill: palette.quiet };
    content.push(...textLines(beneath, { ...place, part: "unused" }));
    bottom += 12 + lineHeight * beneath.length;
  }
  return makeFigure({ width, height: bottom + 2, content }, {
    ...options,
    redraw: (width) => flowFigure({ ...options, width }),
    caption: sentences(options.caption),
    alt: options.alt ?? flowAlt(options),
  });
}

type Place = { x: number; width: number };

function countBox(entry: FlowCount, place: Place & { y: number }) {
  const { x, width, y } = place;
  const lines = wrapText(entry.label, width - 2 * padding, { size: typeSize.text });
  const height = lineHeight * (lines.length + 1) + 2 * padding - 2;
  const middle = x + width / 2;
  return {
    height,
    content: [
      frame(x, y, { width, height, stroke: palette.axis }),
      ...textLines([countText(entry.count)], {
        x: middle,
        y: y + padding + 13,
        size: typeSize.heading,
        weight: 600,
        anchor: "middle",
        part: "count",
      }),
      ...textLines(lines, {
        x: middle,
        y: y + padding + 13 + lineHeight,
        anchor: "middle",
        leading: lineHeight,
      }),
    ],
  };
}

function excludedBox(excluded: readonly FlowCount[], place: Place) {
  const { x, width } = place;
  const numbers = 44;
  const content: SvgNode[] = [];
  let y = 15;
  for (const { label, count } of excluded) {
    const lines = wrapText(label, width - numbers - 18, { size: typeSize.text });
    content.push(
      ...textLines([countText(count)], {
        x: x + numbers,
        y,
        weight: 600,
        anchor: "end",
        part: "count-excluded",
      }),
      ...textLines(lines, { x: x + numbers + 9, y, leading: lineHeight, fill: palette.quiet }),
    );
    y += lineHeight * lines.length + 4;
  }
  const height = y - 12;
  content.unshift(
    frame(x, -4, { width, height: height + 8, stroke: palette.axis }),
  );
  return { height, content };
}

function groupBoxes(
  groups: readonly (FlowCount & { role?: GroupRole; lines?: readonly string[] })[],
  place: { width: number; from: [number, number] },
) {
  const { width, from: [axis, top] } = place;
  const gap = 14;
  const each = (width - 2 * inset - gap * (groups.length - 1)) / groups.length;
  const styles = groupStyles(groups);
  const inner = each - 2 * padding;
  const texts = groups.map((group) => ({
    names: wrapText(group.label, inner, { size: typeSize.label, bold: true }),
    lines: (group.lines ?? []).flatMap((line) => wrapText(line, inner, { size: typeSize.text })),
  }));
  const nameRows = Math.max(...texts.map(({ names }) => names.length));
  const lineRows = Math.max(...texts.map(({ lines }) => lines.length));
  const height = lineHeight * (nameRows + 1 + lineRows) + 2 * padding;
  const branch = top + 18;
  const y = top + 40;
  const middles = groups.map((_, k) => inset + k * (each + gap) + each / 2);
  const content: SvgNode[] = [element("path", {
    d: `M${axis},${top}V${branch}M${Math.min(axis, ...middles)},${branch}H${
      Math.max(axis, ...middles)
    }`,
    ...arrowStroke,
  })];
  groups.forEach((group, k) => {
    const style = styleAt(styles, k);
    const middle = middles[k] ?? 0;
    const { names, lines } = texts[k] ?? { names: [], lines: [] };
    content.push(
      arrow([middle, branch], [middle, y]),
      frame(middle - each / 2, y, {
        width: each,
        height,
        stroke: style.color,
        "stroke-width": 2,
        "stroke-dasharray": style.dash || undefined,
      }),
      ...textLines(names, {
        x: middle,
        y: y + padding + 13,
        size: typeSize.label,
        weight: 600,
        anchor: "middle",
        leading: lineHeight,
        fill: style.textColor,
        part: "group-label",
      }),
      ...textLines([countText(group.count)], {
        x: middle,
        y: y + padding + 14 + lineHeight * names.length,
        size: typeSize.heading,
        weight: 600,
        anchor: "middle",
        part: "count",
      }),
      ...textLines(lines, {
        x: middle,
        y: y + padding + 14 + lineHeight * (names.length + 1),
        anchor: "middle",
        leading: lineHeight,
        fill: palette.quiet,
      }),
    );
  });
  return { content, bottom: y + height };
}

function frame(x: number, y: number, attributes: Record<string, string | number | undefined>) {
  return element("rect", { x, y, rx: 3, fill: palette.paper, "stroke-width": 1.2, ...attributes });
}

const arrowStroke = { stroke: palette.axis, "stroke-width": 1.3, fill: "none" };

/** A line with a small head at its end; it runs straight down or straight to the right. */
function arrow(from: [number, number], to: [number, number]): SvgNode {
  const [x, y] = to;
  const down = from[0] === x;
  const head = down
    ? `M${x - 4},${y - 7}L${x},${y - 1}L${x + 4},${y - 7}`
    : `M${x - 7},${y - 4}L${x - 1},${y}L${x - 7},${y + 4}`;
  return element("path", { d: `M${from.join(",")}L${x},${y}${head}`, ...arrowStroke });
}

function checkCounts(options: {
  start: FlowCount;
  steps: readonly FlowStage[];
  groups?: readonly FlowCount[];
}): void {
  let before = options.start.count;
  options.steps.forEach(({ excluded, remaining }, i) => {
    const gone = excluded.reduce((sum, { count }) => sum + count, 0);
    if (before - gone !== remaining.count) {
      throw new DataError("steps.remaining", `${before} less ${gone}`, remaining.count, i);
    }
    before = remaining.count;
  });
  const groups = options.groups ?? [];
  const total = groups.reduce((sum, { count }) => sum + count, 0);
  if (groups.length > 0 && total !== before) {
    throw new DataError("groups.count", `${before} in all`, total);
  }
}

function flowAlt(
  options: {
    start: FlowCount;
    steps: readonly FlowStage[];
    groups?: readonly (FlowCount & { lines?: readonly string[] })[];
    unused?: readonly string[];
  },
): string {
  const name = ({ label, count }: FlowCount) => `${label}: ${countText(count)}`;
  return sentences(
    name(options.start),
    ...options.steps.flatMap(({ excluded, remaining }) => [
      excluded.length > 0 && `Left out: ${excluded.map(name).join("; ")}`,
      name(remaining),
    ]),
    ...(options.groups ?? []).map((group) => [name(group), ...group.lines ?? []].join("; ")),
    ...options.unused ?? [],
  );
}
