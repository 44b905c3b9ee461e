import { Memory } from "../../numerics/memory/mod.ts";
import { fromHtml } from "hast-util-from-html";
import { sanitize, type Schema } from "hast-util-sanitize";
import {
  type Element,
  elementsOf,
  htmlText,
  type Ready,
  ready,
  svgText,
  textOfTree,
} from "../tree/mod.ts";
import { isHarmless, safeDeclarations, safeRules } from "./safe-style.ts";

const attributes =
  ("xmlns id className viewBox role ariaLabel ariaLabelledBy ariaHidden preserveAspectRatio focusable " +
    "transform d points x y x1 x2 y1 y2 dx dy cx cy r rx ry width height fx fy rotate textLength " +
    "lengthAdjust pathLength fill fillOpacity fillRule stroke strokeWidth strokeOpacity " +
    "strokeDashArray strokeDashOffset strokeLineCap strokeLineJoin strokeMiterLimit paintOrder " +
    "opacity visibility color fontFamily fontSize fontStyle fontWeight fontVariant letterSpacing " +
    "wordSpacing textAnchor dominantBaseline alignmentBaseline baselineShift textDecoration " +
    "xmlSpace clipPath clipRule clipPathUnits mask maskUnits maskContentUnits markerStart markerMid " +
    "markerEnd markerWidth markerHeight markerUnits orient refX refY patternUnits " +
    "patternContentUnits patternTransform gradientUnits gradientTransform spreadMethod offset " +
    "stopColor stopOpacity vectorEffect shapeRendering textRendering style data*").split(" ");

const schema: Schema = {
  tagNames:
    ("svg g path rect line circle ellipse polygon polyline text tspan defs clipPath pattern " +
      "mask marker linearGradient radialGradient stop title desc style").split(" "),
  attributes: { "*": attributes },
  strip: ["script", "foreignObject", "image", "use", "animate", "set", "metadata"],
  clobber: [],
  protocols: {},
};

/**
 * A drawing with nothing in it that runs, fetches or leads away: only known shapes, letters,
 * attributes and style properties are kept. Figures of this project are so already; a notebook may
 * bring others.
 *
 * @returns One tree for all who ask for the same drawing: nobody changes it. undefined where the
 * text is not an SVG drawing.
 */
export function safeDrawing(svg: string): Element | undefined {
  return made.get(svg, () => told.get(svg)?.() ?? madeSafe(svg));
}

/** A drawing with nothing in it that runs, for a page; undefined where the text is none. */
export function drawingOnPage(svg: string): Ready | undefined {
  const markup = written.get(svg, () => {
    const drawing = safeDrawing(svg);
    return drawing && htmlText(drawing);
  });
  return markup === undefined ? undefined : ready(markup);
}

/**
 * Takes what was made of a drawing in an earlier run.
 *
 * @param tree Gives its tree, which few ask for.
 */
export function rememberDrawing(svg: string, tree: () => Element, markup: string): void {
  told.set(svg, tree);
  written.set(svg, markup);
}

/** A figure stands in several documents, and reading it takes longest; nothing where it is none. */
const made = new Memory<Element | undefined>(500);
const written = new Memory<string | undefined>(500);
const told = new Map<string, () => Element>();

function madeSafe(svg: string): Element | undefined {
  const found = fromHtml(svg, { fragment: true, space: "svg" }).children
    .find((node) => node.type === "element");
  if (found?.type !== "element" || found.tagName !== "svg") return undefined;
  const clean = sanitize(found, schema);
  if (clean.type !== "element") return undefined;
  const { id } = clean.properties;
  for (const element of elementsOf(clean)) {
    element.children = element.children.filter((child) => {
      if (child.type !== "element" || child.tagName !== "style") return true;
      const rules = safeRules(textOfTree(child), typeof id === "string" ? id : undefined);
      child.children = [{ type: "text", value: rules }];
      return rules !== "";
    });
    for (const [name, value] of Object.entries(element.properties)) {
      if (name === "style") element.properties.style = safeDeclarations(String(value)) || null;
      else if (paints.has(name) && !isHarmless(String(value))) element.properties[name] = null;
      // no file could keep it
      else if (value === Infinity || value === -Infinity) element.properties[name] = null;
    }
  }
  return clean;
}

/** Attributes that may name another part of the drawing, and so might name an address. */
const paints = new Set(
  ("fill stroke clipPath mask markerStart markerMid markerEnd color stopColor fontFamily").split(
    " ",
  ),
);

/** A drawing made safe, as a file of its own. */
export function safeSvg(svg: string): string | undefined {
  const drawing = safeDrawing(svg);
  return drawing && svgText(drawing);
}
