import { Memory } from "../../numerics/memory/mod.ts";
import { safeDrawing } from "./safe-drawing.ts";
import { type Element, type ElementContent, svgText } from "../tree/mod.ts";

/**
 * A drawing for programs that know no style sheets: its rules are taken out, since its attributes
 * carry the light colours, and letters with a halo are written twice, halo first, for those that
 * cannot paint a stroke under its fill.
 *
 * @throws {Error} Where the text is not an SVG drawing.
 */
export function printSvg(svg: string): string {
  return printed.get(svg, () => {
    const drawing = safeDrawing(svg);
    if (!drawing) throw new Error("Cannot print a figure: it is not an SVG drawing");
    return printTree(drawing);
  });
}

/** {@link printSvg} of a drawing that was made safe. */
export function printTree(drawing: Element): string {
  return svgText(plain(drawing));
}

/** Takes what was made of a drawing in an earlier run. */
export function rememberPrinted(svg: string, text: string): void {
  printed.set(svg, text);
}

const printed = new Memory<string>(500);

function plain(element: Element): Element {
  const children = element.children.flatMap((child): ElementContent[] => {
    if (child.type !== "element") return [child];
    if (child.tagName === "style") return [];
    const inner = plain(child);
    const { paintOrder, ...properties } = inner.properties;
    if (paintOrder !== "stroke") return [inner];
    const { stroke = "none", strokeWidth: _, ...letters } = properties;
    return [
      { ...inner, properties: { ...properties, fill: stroke } },
      { ...inner, properties: letters },
    ];
  });
  return { ...element, children };
}
