import { safeDrawing } from "../markup/mod.ts";
import { type Element, textOfTree } from "../tree/mod.ts";

/** One element of a drawing with where it stands in drawing units. */
export interface Drawn {
  name: string;
  part: string;
  text: string;
  x: number;
  y: number;
  /** An attribute as a number. */
  number(name: string): number;
  attribute(name: string): string;
  /** The frame it is in, and what its axes span. */
  frame: Frame | undefined;
}

/** A frame in drawing units and in what is drawn. */
export interface Frame {
  id: number;
  left: number;
  top: number;
  right: number;
  bottom: number;
  x: [number, number];
  y: [number, number];
}

/** Every element of a figure, with the translations of its parents added up. */
export function readDrawing(svg: string): Drawn[] {
  const root = safeDrawing(svg);
  const found: Drawn[] = [];
  let frames = 0;
  const visit = (
    element: Element,
    at: { x: number; y: number; part: string; frame: Frame | undefined },
  ): void => {
    const get = (name: string) => attributeOf(element, name);
    const move = /translate\(([^,)]+),([^)]+)\)/.exec(get("transform"));
    const x = at.x + Number(move?.[1] ?? 0);
    const y = at.y + Number(move?.[2] ?? 0);
    const part = get("dataPart") || at.part;
    const frame = frameOf(get("dataFrame"), get("dataSpans"), frames) ?? at.frame;
    if (frame !== at.frame) frames++;
    found.push({
      name: element.tagName,
      part,
      text: textOfTree(element),
      x,
      y,
      frame,
      attribute: get,
      number: (name) => Number(get(name)),
    });
    for (const child of element.children) {
      if (child.type === "element") visit(child, { x, y, part, frame });
    }
  };
  if (root) visit(root, { x: 0, y: 0, part: "", frame: undefined });
  return found;
}

function attributeOf({ properties }: Element, name: string): string {
  const value = properties[name];
  return value === undefined || value === null ? "" : String(value);
}

function frameOf(places: string, spans: string, id: number): Frame | undefined {
  const [left, top, right, bottom] = places.split(" ").map(Number);
  const [x0, x1, y0, y1] = spans.split(" ").map(Number);
  if (bottom === undefined || y1 === undefined) return undefined;
  return {
    id,
    left: left!,
    top: top!,
    right: right!,
    bottom,
    x: [x0!, x1!],
    y: [y0!, y1],
  };
}

/** Units on paper for one unit of what is drawn upwards. */
export function unitsUp({ top, bottom, y: [low, high] }: Frame): number {
  return (bottom - top) / (high - low);
}

/** What a place along the axis stands for. */
export function valueAcross({ left, right, x: [low, high] }: Frame, x: number): number {
  return low + (x - left) / (right - left) * (high - low);
}

/**
 * Half of the last figure with which numbers of a drawing are written: a whole number may be one
 * with its 0 left out, and none has fewer decimals than one.
 */
export function halfOfLast(texts: readonly string[]): number {
  const decimals = Math.max(1, ...texts.map((text) => text.split(".")[1]?.length ?? 0));
  return 0.5 * 10 ** -decimals;
}
