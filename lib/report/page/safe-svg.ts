import { DOMParser } from "linkedom";
import { fromDom, serialize, type SvgNode } from "../../figures/drawing/mod.ts";

const allowed = new Set(
  ("svg g path rect line circle ellipse polygon polyline text tspan defs clipPath pattern mask " +
    "marker linearGradient radialGradient stop title desc style").split(" "),
);

/**
 * A drawing with nothing in it that runs, fetches or leads away: only shapes, letters and style
 * rules that name no address. Figures of this project are so already; a notebook may bring others.
 *
 * @returns undefined where the text is not an SVG drawing.
 */
export function safeSvg(svg: string): string | undefined {
  const document = new DOMParser().parseFromString(svg, "image/svg+xml");
  const root = document.documentElement;
  if (!root || root.localName !== "svg") return undefined;
  return serialize(safeNode(fromDom(root as unknown as Element)));
}

function safeNode(node: SvgNode): SvgNode {
  const attributes: Record<string, string> = {};
  for (const [name, value] of Object.entries(node.attributes)) {
    if (/^on/i.test(name) || !/^[a-z_][\w:.-]*$/i.test(name)) continue;
    if (/href$/i.test(name) && !value.trim().startsWith("#")) continue;
    if (leadsAway(value)) continue;
    attributes[name] = value;
  }
  const children = node.children.flatMap((child): (SvgNode | string)[] => {
    if (typeof child === "string") return [child];
    // what stood in a link stays, the link goes
    if (child.name === "a") return [safeNode({ ...child, name: "g", attributes: {} })];
    if (!allowed.has(child.name)) return [];
    if (child.name === "style") {
      const rules = child.children.filter((part) => typeof part === "string").join("");
      return leadsAway(rules) || /@import|<|\\/.test(rules)
        ? []
        : [{ ...child, children: [rules] }];
    }
    return [safeNode(child)];
  });
  return { name: node.name, attributes, children };
}

function leadsAway(value: string): boolean {
  return /url\(\s*(?!["']?#)|javascript:|expression\(|image-set\(/i.test(value);
}
