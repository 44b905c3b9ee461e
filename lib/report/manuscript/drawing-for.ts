import { safeDrawing } from "../markup/mod.ts";
import type { Element, ElementContent } from "../tree/mod.ts";

/**
 * A drawing for a vector editor at a width in mm: no style sheet, no variables, no names of
 * classes; every shape carries its own colour. Undefined where the text is no drawing.
 */
export function drawingFor(svg: string, width: number): Element | undefined {
  const drawing = safeDrawing(svg);
  if (!drawing) return undefined;
  const [, , across = 0, down = 0] = String(drawing.properties.viewBox ?? "").split(" ").map(
    Number,
  );
  if (!(across > 0 && down > 0)) return undefined;
  const bare = withoutStyle(drawing);
  const properties = {
    ...bare.properties,
    fontFamily: "Arial, Helvetica, sans-serif",
    width: `${width}mm`,
    height: `${Math.round(width * down / across * 100) / 100}mm`,
  };
  return { ...bare, properties };
}

function withoutStyle(element: Element): Element {
  const { className: _, style: __, ...properties } = element.properties;
  return {
    ...element,
    properties,
    children: element.children.flatMap((child): ElementContent[] =>
      child.type !== "element" ? [child] : child.tagName === "style" ? [] : [withoutStyle(child)]
    ),
  };
}
