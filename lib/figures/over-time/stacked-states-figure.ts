import * as Plot from "@observablehq/plot";
import { DataError, type Numbers } from "../../numerics/mod.ts";
import { formatNumber } from "../../words/mod.ts";
import {
  endLabels,
  type Figure,
  type FigureOptions,
  frameHeightFor,
  makeFigure,
  nameLines,
  nameSpace,
  numberAtRisk,
  type Panel,
  panelHeading,
  percentText,
  percentTick,
  plotPanel,
  publishedText,
  type RiskRows,
  riskTable,
  sentences,
  stack,
  stepDrawing,
  timeAxis,
  timeTicks,
  valueAxis,
} from "../drawing/mod.ts";
import { drawingWidth, orderedFills, palette } from "../theme/mod.ts";
import { publishablePart } from "../../disclosure/mod.ts";
import type { AtRiskColumns } from "./curve-columns.ts";

/** The share of one group in each state over time. */
export interface StatesGroup {
  /** Name as readers see it. */
  label: string;
  /** Times, in one unit. */
  time: Numbers;
  /** One column a state, in the order of `states`; they sum to 1 at each time. */
  occupancy: readonly Numbers[];
  /** Those alive and followed, whose number stands under the frame. */
  alive?: AtRiskColumns;
  /** Other published numbers of the same patients, see {@link AtRiskColumns}. */
  within?: readonly AtRiskColumns[];
}

/**
 * The share of each group in each state over time: areas that together are always 100%, one frame a
 * group, the first state at the bottom. Fills run from light to dark in the order of the states, so
 * that they are told apart in greyscale.
 *
 * Before the first time everyone is in the first state, or in what `initial` says.
 *
 * @example
 * ```ts
 * import { stackedStatesFigure } from "mitral";
 * const time = [0, 5, 10];
 * const [well, recurred, died] = [[1, 0.7, 0.5], [0, 0.2, 0.2], [0, 0.1, 0.3]];
 * stackedStatesFigure({
 *   id: "states",
 *   title: "Alive, with and without recurrence",
 *   states: ["Alive, no recurrence", "Alive with recurrence", "Died"],
 *   groups: [{ label: "Repair", time, occupancy: [well, recurred, died] }],
 *   horizon: 10,
 * });
 * ```
 * @throws {DataError} On columns of unlike length, or shares that do not sum to 1 within 1e-6.
 */
export function stackedStatesFigure(
  options: FigureOptions & {
    states: readonly string[];
    groups: readonly StatesGroup[];
    horizon: number;
    initial?: readonly number[];
    timeLabel?: string;
    timeTicks?: readonly number[];
    /** Counts from 1 to below this are printed only as a bound. Default 1: all are printed. */
    smallestCell?: number;
  },
): Figure {
  const { states, groups, horizon, width = drawingWidth, smallestCell = 1 } = options;
  if (groups.length === 0) throw new DataError("groups", "at least one", "none");
  if (!(horizon > 0)) throw new DataError("horizon", "> 0", horizon);
  groups.forEach((group) => checkStates(group, states.length));
  const initial = options.initial ?? states.map((_, k) => (k === 0 ? 1 : 0));
  const ticks = [...options.timeTicks ?? timeTicks(horizon, width)];
  const panels = groups.map((group) =>
    statesPanel(group, {
      states,
      initial,
      horizon,
      width,
      ticks,
      smallestCell,
      timeLabel: options.timeLabel ?? "Years after operation",
    })
  );
  return makeFigure(stack(panels), {
    ...options,
    redraw: (width) => stackedStatesFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      "The height of each area is the share in that state; together they are 100%",
    ),
    alt: options.alt ?? sentences(...groups.map((group) => endAlt(group, { states, horizon }))),
  });
}

const marginLeft = 50;

function statesPanel(
  group: StatesGroup,
  spec: {
    states: readonly string[];
    initial: readonly number[];
    horizon: number;
    width: number;
    ticks: readonly number[];
    smallestCell: number;
    timeLabel: string;
  },
): Panel {
  const { states, initial, horizon, width } = spec;
  const fills = orderedFills(states.length);
  const names = states.map((label) => nameLines(label, width));
  const marginRight = 16 + nameSpace(names);
  const heading = panelHeading(group.label, { width, marginLeft });
  const axis = timeAxis(spec.ticks, {
    label: spec.timeLabel,
    sides: { left: marginLeft, right: marginRight, width },
  });
  const counts = riskTable(aliveRow(group, spec), {
    names: new Map([["", [""]]]),
    labelGap: 12,
    marginLeft,
    timeTicks: spec.ticks,
  });
  const marginBottom = axis.height + counts.height;
  const frameHeight = frameHeightFor(names, Math.round(width * 0.5));
  const perUnit = horizon / (width - marginLeft - marginRight);
  const edges = cumulative(group.occupancy);
  const starts = cumulative(initial.map((share) => [share])).map((column) => column[0] ?? 0);
  const marks: Plot.Markish[] = [];
  const ends = states.flatMap((_, k) => {
    const layer = stepDrawing(
      { time: group.time, estimate: edges[k + 1] ?? [], lower: edges[k] },
      { start: starts[k + 1] ?? 0, startLower: starts[k], horizon, resolution: perUnit / 2 },
    );
    marks.push(Plot.areaY(layer.stretches[0]?.points ?? [], {
      x: "time",
      y1: "lower",
      y2: "estimate",
      curve: "step-after",
      fill: fills[k]?.fill,
      stroke: palette.paper,
      strokeWidth: 0.8,
      className: "state",
    }));
    const { end } = layer;
    const share = end.estimate - end.lower;
    return [{
      lines: names[k] ?? [],
      color: palette.ink,
      value: end.time >= horizon ? percentText(share) : undefined,
      x: end.time,
      y: (end.estimate + end.lower) / 2,
    }];
  });
  const valueTicks = [0, 0.25, 0.5, 0.75, 1];
  marks.unshift(...valueAxis(valueTicks, { format: percentTick(valueTicks) }));
  marks.push(
    ...axis.marks,
    Plot.ruleY([0], { stroke: palette.axis }),
    ...heading.marks,
    ...endLabels(ends, {
      domain: [0, 1],
      height: frameHeight,
      right: horizon,
      perUnit,
      gap: 12,
    }),
    ...counts.marks(axis.height),
  );
  return plotPanel({
    width,
    height: heading.height + frameHeight + marginBottom,
    marginLeft,
    marginTop: heading.height,
    marginBottom,
    marginRight,
    x: { domain: [0, horizon] },
    y: { domain: [0, 1] },
    marks,
  });
}

function aliveRow(
  { alive, within = [] }: StatesGroup,
  { ticks, smallestCell }: { ticks: readonly number[]; smallestCell: number },
): RiskRows | undefined {
  if (!alive) return undefined;
  const others = within.map((columns) => numberAtRisk(columns, ticks));
  const counts = numberAtRisk(alive, ticks).map((count, k) =>
    publishedText(publishablePart(count, others.map((other) => other[k] ?? 0), smallestCell))
  );
  return { heading: "Alive and followed", rows: [{ label: "", counts }] };
}

/** Lower and upper edges of stacked columns: one more column than went in. */
export function cumulative(columns: readonly Numbers[]): number[][] {
  const rows = columns[0]?.length ?? 0;
  const edges = [Array.from({ length: rows }, () => 0)];
  for (const column of columns) {
    const below = edges.at(-1) ?? [];
    edges.push(below.map((edge, i) => edge + (column[i] ?? 0)));
  }
  return edges;
}

function checkStates(group: StatesGroup, count: number): void {
  const { time, occupancy } = group;
  if (occupancy.length !== count) {
    throw new DataError("groups.occupancy", `${count} columns`, occupancy.length);
  }
  for (const column of occupancy) {
    if (column.length !== time.length) {
      throw new DataError("groups.occupancy", `of length ${time.length}`, column);
    }
  }
  for (let i = 0; i < time.length; i++) {
    const total = occupancy.reduce((sum, column) => sum + (column[i] ?? NaN), 0);
    if (!(Math.abs(total - 1) < 1e-6)) {
      throw new DataError("groups.occupancy", "shares that sum to 1", total, i);
    }
  }
}

function endAlt(
  { label, time, occupancy }: StatesGroup,
  { states, horizon }: { states: readonly string[]; horizon: number },
): string {
  let row = -1;
  while (row + 1 < time.length && (time[row + 1] ?? Infinity) <= horizon) row++;
  const at = formatNumber(Number((time[row] ?? 0).toPrecision(3)));
  const shares = states.map((state, k) => `${state} ${percentText(occupancy[k]?.[row] ?? NaN)}`);
  return `${label}, last at ${at}: ${shares.join(", ")}`;
}
