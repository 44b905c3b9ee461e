import type { Element, ElementContent, Nodes, Root } from "hast";
import { h as htmlElement, s as svgElement } from "hastscript";
import { toHtml } from "hast-util-to-html";

/** An element of a page. */
export type { Element, ElementContent, Nodes, Root };

/** Markup that a page takes as it is: see {@link ready}. */
export interface Ready {
  type: "raw";
  value: string;
}

/** What may stand within an element: other elements, text, lists of either, or nothing. */
export type Content =
  | ElementContent
  | Ready
  | string
  | number
  | null
  | undefined
  | false
  | readonly Content[];

/** Attributes by name: `class`, `href`, `data-design`; what is undefined or null is left out. */
export type Attributes = Record<string, string | number | boolean | null | undefined>;

/**
 * An element of a page. Text is text whatever it says: it cannot become an element.
 *
 * @param selector Name, classes and id: `p.quiet`, `section#answer`.
 */
export function h(selector: string, attributes: Attributes, ...content: Content[]): Element {
  return htmlElement(selector, attributes, ...flat(content)) as Element;
}

/** An element of a drawing. */
export function s(selector: string, attributes: Attributes, ...content: Content[]): Element {
  return svgElement(selector, attributes, ...flat(content)) as Element;
}

/** Content as a plain list of nodes. */
export function flat(content: readonly Content[]): ElementContent[] {
  return content.flatMap((one): ElementContent[] => {
    if (one === null || one === undefined || one === false) return [];
    if (typeof one === "string" || typeof one === "number") {
      return [{ type: "text", value: String(one) }];
    }
    // `toHtml` knows what is ready by another type than trees have
    return isList(one) ? flat(one) : [one as ElementContent];
  });
}

function isList(
  content: ElementContent | Ready | readonly Content[],
): content is readonly Content[] {
  return Array.isArray(content);
}

/** What {@link htmlText} made of a tree, for a page that need not make it again. */
export function ready(markup: string): Ready {
  return { type: "raw", value: markup };
}

/** A tree as HTML. */
export function htmlText(...content: Content[]): string {
  return toHtml({ type: "root", children: flat(content) }, named);
}

/** A whole page as HTML. */
export function pageText(html: Element): string {
  return `${toHtml({ type: "root", children: [{ type: "doctype" }, html] }, named)}\n`;
}

const named = {
  characterReferences: { useNamedReferences: true },
  // what is ready; nothing else makes such a node, and text cannot become one
  allowDangerousHtml: true,
} as const;

/** A drawing as a file of its own: XML, which knows no names but a few. */
export function svgText(drawing: Element): string {
  const text = toHtml(drawing, {
    space: "svg",
    closeEmptyElements: true,
    tightSelfClosing: true,
  });
  return xmlText(text);
}

/** Text without the control characters that no XML may have: each becomes the replacement mark. */
export function xmlText(text: string): string {
  // deno-lint-ignore no-control-regex
  return text.replace(/[\0-\x08\v\f\x0e-\x1f\ufffe\uffff]/g, "\ufffd");
}

/** Every element of a tree, parents first. */
export function* elementsOf(node: Nodes): Generator<Element> {
  if (node.type === "element") yield node;
  if ("children" in node) { for (const child of node.children) yield* elementsOf(child); }
}

/** The words of a tree. */
export function textOfTree(node: Nodes): string {
  if (node.type === "text") return node.value;
  return "children" in node ? node.children.map(textOfTree).join("") : "";
}
