import type { Range } from "../../disclosure/solver/mod.ts";
import type { FigureItem } from "../items/mod.ts";
import { type Drawn, drawnNumber, readDrawing, unitsUp, valueAcross } from "./drawing.ts";
import { countOf, type Notes, sizeOf } from "./facts.ts";
import { atRiskOf, curveOf, type SampleCurve } from "./samples.ts";

/** Reads the numbers under the axis of a figure, its bars, and the first steps of its curves. */
export function readFigure(figure: FigureItem, notes: Notes): void {
  const curve = curveOf(figure.id);
  const hasParts = figure.svg.includes("bars-part");
  if (!curve && !hasParts) return;
  const drawn = readDrawing(figure.svg);
  if (curve) {
    readRisks(drawn, { figure, curve, notes });
    readFirstSteps(drawn, { figure, curve, notes });
  }
  readBars(drawn, { figure, notes });
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
    const [from, to] = [drawnNumber(start), drawnNumber(next[2]!)];
    const up = unitsUp(path.frame);
    const height = Math.abs(from.value - to.value) / up;
    const half = (from.half + to.half) / up;
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
        from: `figure ${figure.id}, first step, if of one event`,
      });
    }
    const size = curve.sample === "whole" ? sizeOf(group) : sizeOf(`${group}, matched`);
    notes.rest(size, [wanted], `figure ${figure.id}`);
    notes.places.set(wanted, [...notes.places.get(wanted) ?? [], { figure: figure.id }]);
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
    // a wide bar stands for several at their mean height
    const times = Math.max(1, Math.round((bar.number("width") + 1.2) / (width + 1.2)));
    const counted = (rect: Drawn): Range => {
      const { value, half } = drawnNumber(rect.attribute("height"));
      return {
        low: Math.ceil((value - half) / up * times - 1e-9),
        high: Math.floor((value + half) / up * times + 1e-9),
      };
    };
    const name = countOf(figure.id, `bar ${k + 1}`);
    const place = { figure: figure.id };
    const read = (what: string, range: Range) => {
      if (range.low > range.high) return;
      notes.range(what, range, `figure ${figure.id}`);
      notes.places.set(what, [...notes.places.get(what) ?? [], place]);
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
