import * as Plot from "@observablehq/plot";
import { type Sides, widest, wrapText } from "../drawing/mod.ts";
import { palette, type as typeSize } from "../theme/mod.ts";
import type { FunnelLimits, FunnelPoint } from "./funnel-figure.ts";

/** Where a funnel is drawn. */
interface FunnelFrame {
  sides: Sides;
  /** Largest number and proportion in the frame. */
  most: number;
  top: number;
  frameHeight: number;
  /** The line across. */
  overall: number;
  limits: readonly FunnelLimits[];
}

interface Place {
  /** Middle of the name, in pixels from the point. */
  dx: number;
  dy: number;
  anchor: "start" | "middle" | "end";
}

const lineHeight = 18;
// from the middle of a point to the near edge of its name
const clear = 9;
// letters leave so much of their line free, above and below
const loose = 2;
// a name on another cannot be read, one on a line can
const overlap = 5;
// a name beyond a limit that its point is within looks as if the point were beyond it
const astray = 2.5;

interface Box {
  left: number;
  right: number;
  top: number;
  bottom: number;
}

/**
 * Names of points: over, under or beside each, where on no line, point or other name, as far
 * as it goes.
 * Each is placed again once the others are, until none is better off elsewhere.
 */
export function pointNames(
  points: readonly FunnelPoint[],
  frame: FunnelFrame,
): Plot.Markish[] {
  const names = points.filter(({ named }) => named).map((point) => {
    const lines = wrapText(point.label, 0.4 * frame.sides.width, { size: typeSize.text });
    const size = { wide: widest(lines, typeSize.text), high: lineHeight * lines.length };
    const others = points.filter((other) => other !== point).map((other) => around(other, frame));
    const places = placesFor(size.high).map((place) => {
      const box = boxOf(point, place, size, frame);
      const beyond = isAstray(point, box, frame);
      return { place, box, beyond, faults: (beyond ? astray : 0) + faults(box, others, frame) };
    });
    return { point, lines, places, chosen: undefined as (typeof places)[number] | undefined };
  });
  for (let round = 0; round < 5; round++) {
    for (const name of names) {
      const taken = names.flatMap((other) =>
        other !== name && other.chosen ? [other.chosen.box] : []
      );
      const faultsAt = name.places.map(({ box, faults }) =>
        faults + overlap * taken.filter((other) => meet(box, other)).length
      );
      name.chosen = name.places[faultsAt.indexOf(Math.min(...faultsAt))];
    }
  }
  return names.flatMap(({ point, lines, chosen }) => [
    ...(chosen!.beyond ? [leader(point, chosen!.place, frame)] : []),
    Plot.text([lines.join("\n")], {
      x: () => point.n,
      y: () => point.proportion,
      dx: chosen!.place.dx,
      dy: chosen!.place.dy,
      textAnchor: chosen!.place.anchor,
      lineAnchor: "middle",
      lineHeight: lineHeight / typeSize.text,
      fontSize: typeSize.text,
      fill: palette.ink,
      stroke: palette.paper,
      strokeWidth: 4,
      className: "point-label",
    }),
  ]);
}

/** From a point to its name, where that had to stand beyond a limit that the point is within. */
function leader(point: FunnelPoint, { dx, dy }: Place, frame: FunnelFrame): Plot.Markish {
  const { sides: { left, right, width }, most, top, frameHeight } = frame;
  const end = dy - Math.sign(dy) * lineHeight / 2;
  return Plot.line([
    [point.n, point.proportion],
    [point.n + dx * most / (width - left - right), point.proportion - end * top / frameHeight],
  ], {
    stroke: palette.ink,
    strokeWidth: 0.9,
    className: "leader",
  });
}

function placesFor(high: number): Place[] {
  const reach = clear + high / 2;
  return [
    ...[-reach, reach].map((dy): Place => ({ dx: 0, dy, anchor: "middle" })),
    ...[0, -high / 2, high / 2, -reach, reach].flatMap((dy): Place[] => [
      { dx: clear, dy, anchor: "start" },
      { dx: -clear, dy, anchor: "end" },
    ]),
    // further off, rather than where it could not be read
    ...[reach + high, -reach - high].flatMap((dy): Place[] => [
      { dx: 0, dy, anchor: "middle" },
      { dx: -clear, dy, anchor: "start" },
      { dx: clear, dy, anchor: "end" },
    ]),
  ];
}

/** In pixels from the corner of the frame. */
function boxOf(
  point: FunnelPoint,
  { dx, dy, anchor }: Place,
  { wide, high }: { wide: number; high: number },
  frame: FunnelFrame,
): Box {
  const { x, y } = placeOf(point, frame);
  const left = x + dx - (anchor === "middle" ? wide / 2 : anchor === "end" ? wide : 0);
  return { left, right: left + wide, top: y + dy - high / 2, bottom: y + dy + high / 2 };
}

function around(point: FunnelPoint, frame: FunnelFrame): Box {
  const { x, y } = placeOf(point, frame);
  return { left: x - 6, right: x + 6, top: y - 6, bottom: y + 6 };
}

function placeOf(
  { n, proportion }: { n: number; proportion: number },
  { sides: { left, right, width }, most, top, frameHeight }: FunnelFrame,
): { x: number; y: number } {
  return {
    x: n * (width - left - right) / most,
    y: frameHeight * (1 - proportion / top),
  };
}

/**
 * How much is wrong with a place: lines in it, more so points and names, and above all edges that
 * cut it.
 */
function faults(box: Box, others: readonly Box[], frame: FunnelFrame): number {
  const { sides: { left, right, width }, frameHeight, overall, limits } = frame;
  const cut = box.left < 2 || box.right > width - left - right || box.top < 0 ||
    box.bottom > frameHeight;
  const within = (n: number, proportion: number) => {
    const { x, y } = placeOf({ n, proportion }, frame);
    return x >= box.left && x <= box.right && y >= box.top + loose && y <= box.bottom - loose;
  };
  const across = placeOf({ n: 0, proportion: overall }, frame).y;
  const lines = [across >= box.top && across <= box.bottom];
  for (const { n, lower, upper } of limits) {
    for (const line of [lower, upper]) {
      lines.push(Array.from(n).some((at, i) => within(at, line[i] ?? NaN)));
    }
  }
  const overlapping = others.filter((other) => meet(box, other)).length;
  return lines.filter(Boolean).length + overlap * overlapping + (cut ? 100 : 0);
}

/** Whether a limit has the point on one side and the middle of its name on the other. */
function isAstray(point: FunnelPoint, box: Box, frame: FunnelFrame): boolean {
  const name = { x: (box.left + box.right) / 2, y: (box.top + box.bottom) / 2 };
  const isAbove = (
    place: { x: number; y: number },
    n: ArrayLike<number>,
    line: ArrayLike<number>,
  ) => {
    const along = Array.from(n, (at, i) => placeOf({ n: at, proportion: line[i] ?? NaN }, frame));
    const beside = along.find(({ x }) => x >= place.x) ?? along.at(-1);
    return place.y < (beside?.y ?? NaN);
  };
  const own = placeOf(point, frame);
  return frame.limits.some(({ n, lower, upper }) =>
    [lower, upper].some((line) => isAbove(own, n, line) !== isAbove(name, n, line))
  );
}

function meet(one: Box, other: Box): boolean {
  return other.left < one.right && other.right > one.left && other.top < one.bottom &&
    other.bottom > one.top;
}
