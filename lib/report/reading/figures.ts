import type { Range } from "../../disclosure/solver/mod.ts";
import { effectiveMeans } from "../../words/mod.ts";
import type { FigureItem } from "../items/mod.ts";
import {
  type Drawn,
  type Frame,
  halfOfLast,
  readDrawing,
  unitsUp,
  valueAcross,
} from "./drawing.ts";
import { countOf, everybody, type Notes, sizeOf } from "./facts.ts";
import { readEnds } from "./flow-tables.ts";
import { notRepairedOfAll } from "./programme.ts";
import { atRiskOf, curveOf, type SampleCurve } from "./samples.ts";

/** Reads the numbers under the axis of a figure, its bars, and the first steps of its curves. */
export function readFigure(figure: FigureItem, notes: Notes): void {
  if (figure.id === "flow") readFlow(figure, notes);
  const curve = curveOf(figure.id);
  const counted = figure.svg.includes("bars-part") || calibrations[figure.id];
  if (!curve && !counted) return;
  const drawn = readDrawing(figure.svg);
  if (curve) {
    if (!figure.caption.includes(effectiveMeans)) readRisks(drawn, { figure, curve, notes });
    readFirstSteps(drawn, { figure, curve, notes });
  }
  readBars(drawn, { figure, notes });
  readPoints(drawn, { figure, notes });
}

/** What the flow diagram says of groups: "56 left theatre with a replacement", "165 died". */
function readFlow(figure: FigureItem, notes: Notes): void {
  const [first, second] = notes.knows.groups;
  const text = readDrawing(figure.svg).filter(({ name }) => name === "text")
    .map(({ text }) => text).join(" ");
  const of = { repair: second, replacement: first };
  for (const procedure of ["repair", "replacement"] as const) {
    const said = new RegExp(`((?:[<>] )?[\\d,]+) left theatre with\\s*a ${procedure}`).exec(text)
      ?.[1];
    const name = countOf(of[procedure], `Final procedure, ${procedure}`);
    if (said !== undefined) notes.cell(name, said, { figure: figure.id });
  }
  readEnds(text, notes, figure.id);
}

/**
 * Of figures with a point for each part of the patients: whom they are of, and who had the event.
 */
const calibrations: Record<string, (notes: Notes) => { whole: string; events: string }> = {
  "programme-calibration": () => ({ whole: everybody, events: notRepairedOfAll }),
  "ventricle-calibration": ({ knows: { groups: [first] } }) => ({
    whole: countOf(first, "measured before and after"),
    events: countOf(first, "low after"),
  }),
};

/** Points that stand for so many patients each, of whom a share had the event: the sum of both. */
function readPoints(
  drawn: readonly Drawn[],
  { figure, notes }: { figure: FigureItem; notes: Notes },
): void {
  const of = calibrations[figure.id]?.(notes);
  const points = drawn.filter(({ name, part }) => name === "circle" && part === "point");
  const sizes = [...figure.svg.matchAll(/observed [\d.]+% of ([\d,]+)/g)]
    .map(([, size = ""]) => Number(size.replaceAll(",", "")));
  if (!of || points.length === 0 || points.length !== sizes.length) return;
  const place = { figure: figure.id };
  const half = halfOfLast(points.map((point) => point.attribute("cy")));
  const shares = points.map(({ frame, number }) =>
    frame ? (frame.bottom - number("cy")) / unitsUp(frame) : NaN
  );
  const width = (frame: Frame) => half / unitsUp(frame);
  // drawn in whole per cent, if all stand on one
  const whole = points.every(({ frame }, k) =>
    frame && Math.abs(shares[k]! - Math.round(100 * shares[k]!) / 100) <= width(frame) + 1e-9
  );
  const names = points.flatMap((point, k) => {
    if (!point.frame) return [];
    const size = sizes[k]!;
    const share = shares[k]!;
    const around = whole ? 0.005 : width(point.frame);
    const name = countOf(figure.id, `point ${k + 1}`);
    notes.range(`${name}, patients`, { low: size, high: size }, `figure ${figure.id}`);
    notes.share(name, { low: Math.max(0, share - around), high: share + around }, {
      whole: `${name}, patients`,
      place,
    });
    return [name];
  });
  notes.suppose(
    of.whole,
    names.map((name) => `${name}, patients`),
    `figure ${figure.id}, if its patients are all`,
  );
  notes.suppose(of.events, names, `figure ${figure.id}, if its events are all`);
}

/** Numbers at risk, each under its tick: rows in the order of the groups. */
function readRisks(
  drawn: readonly Drawn[],
  { figure, curve, notes }: { figure: FigureItem; curve: SampleCurve; notes: Notes },
): void {
  const ticks = drawn.filter(({ name, part, text }) =>
    name === "text" && part === "x-axis" && /^\d+(\.\d+)?$/.test(text)
  );
  const counts = drawn.filter(({ name, part }) => name === "text" && part === "risk-count");
  const heights = [...new Set(counts.map(({ y }) => y))].sort((a, b) => a - b);
  for (const { x, y, text } of counts) {
    const tick = ticks.find((one) => Math.abs(one.x - x) < 1);
    const group = notes.knows.groups[heights.indexOf(y) % 2];
    if (tick && group) {
      notes.cell(atRiskOf(group, curve, Number(tick.text)), text, { figure: figure.id });
    }
  }
}

/**
 * The first step of a curve of events is one of so many at risk: read off its height, how many were
 * at risk at all.
 */
function readFirstSteps(
  drawn: readonly Drawn[],
  { figure, curve, notes }: { figure: FigureItem; curve: SampleCurve; notes: Notes },
): void {
  if (curve.endpoint !== "recurrence") return;
  const [first] = drawn.flatMap(({ part, frame }) => part === "curve" && frame ? [frame.id] : []);
  const paths = drawn.filter(({ name, part, frame }) =>
    name === "path" && part === "curve" && frame?.id === first
  );
  paths.forEach((path, k) => {
    const group = notes.knows.groups[k];
    const points = [...path.attribute("d").matchAll(/(-?[\d.]+),(-?[\d.]+)/g)];
    const start = points[0]?.[2];
    const next = points.find(([, , y]) => y !== start);
    if (!group || !path.frame || start === undefined || next === undefined) return;
    const up = unitsUp(path.frame);
    const height = Math.abs(Number(start) - Number(next[2])) / up;
    const half = 2 * halfOfLast(points.flatMap(([, x, y]) => [x!, y!])) / up;
    const at = valueAcross(path.frame, Number(next[1]));
    const wanted = countOf(group, `at risk of recurrence, ${curve.sample}`);
    // one event, or more at once, of as many as were there before anybody had gone
    const possible: Range = {
      low: Math.floor(1 / (height + half)),
      high: Math.ceil(1 / Math.max(height - half, 1e-9)),
    };
    if (at < 0.25) {
      notes.supposed.push({
        parts: [{ count: wanted, times: 1 }],
        ...possible,
        from: `figure ${figure.id}, if its first step is of one event`,
      });
    }
    const size = curve.sample === "whole" ? sizeOf(group) : sizeOf(`${group}, matched`);
    notes.rest(size, [wanted], `figure ${figure.id}`);
    notes.found(wanted, { low: 0, high: Infinity }, { figure: figure.id });
  });
}

/** Bars with a part drawn darker: what is left of each without it. */
function readBars(
  drawn: readonly Drawn[],
  { figure, notes }: { figure: FigureItem; notes: Notes },
): void {
  const bars = drawn.filter(({ name, part }) => name === "rect" && part === "bars");
  const parts = drawn.filter(({ name, part }) => name === "rect" && part === "bars-part");
  const width = Math.min(...bars.map((bar) => bar.number("width")));
  for (const [k, bar] of bars.entries()) {
    if (!bar.frame) continue;
    const up = unitsUp(bar.frame);
    const half = halfOfLast(bars.map((one) => one.attribute("height")));
    // a wide bar stands for several at their mean height
    const times = Math.max(1, Math.round((bar.number("width") + 1.2) / (width + 1.2)));
    const counted = (rect: Drawn): Range => {
      const value = rect.number("height");
      return {
        low: Math.ceil((value - half) / up * times - 1e-9),
        high: Math.floor((value + half) / up * times + 1e-9),
      };
    };
    const name = countOf(figure.id, `bar ${k + 1}`);
    const place = { figure: figure.id };
    const read = (what: string, range: Range) => {
      if (range.low <= range.high) notes.found(what, range, place);
    };
    read(name, counted(bar));
    const same = parts.find((part) =>
      part.attribute("x") === bar.attribute("x") && part.frame?.id === bar.frame?.id &&
      above(part) === above(bar)
    );
    if (!same) continue;
    read(`${name}, part`, counted(same));
    notes.rest(name, [`${name}, part`], `figure ${figure.id}`);
  }
}

/** Whether a bar of a figure with two sides goes up. */
function above({ frame, number }: Drawn): boolean {
  return frame !== undefined && number("y") < (frame.top + frame.bottom) / 2 - 1e-6;
}
