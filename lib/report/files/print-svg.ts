import { DOMParser } from "linkedom";
import { fromDom, serialize, type SvgNode } from "../../figures/drawing/mod.ts";

/**
 * A drawing for programs that know no style sheets: its rules are taken out, since its attributes
 * carry the light colours, and letters with a halo are written twice, halo first, for those that
 * cannot paint a stroke under its fill.
 */
export function printSvg(svg: string): string {
  const root = new DOMParser().parseFromString(svg, "image/svg+xml").documentElement;
  return serialize(plain(fromDom(root as unknown as Element)));
}

function plain(node: SvgNode): SvgNode {
  const children = node.children.flatMap((child): (SvgNode | string)[] => {
    if (typeof child === "string") return [child];
    if (child.name === "style") return [];
    const inner = plain(child);
    const { "paint-order": order, ...attributes } = inner.attributes;
    if (order !== "stroke") return [inner];
    const { stroke = "none", "stroke-width": _, ...letters } = attributes;
    return [
      { ...inner, attributes: { ...attributes, fill: stroke } },
      { ...inner, attributes: letters },
    ];
  });
  return { ...node, children };
}
