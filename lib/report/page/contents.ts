import { type Content, type Element, flat, h } from "../tree/mod.ts";

/** A section of a page with its place in the list of contents. */
export interface Section {
  anchor: string;
  title: Content;
  content: Element;
  parts: { anchor: string; title: Content }[];
}

/** The list of contents of a page. */
export function contentsTree(sections: readonly Omit<Section, "content">[]): Element {
  const entry = (anchor: string, title: Content) => h("a", { href: `#${anchor}` }, unlinked(title));
  return h(
    "nav.contents",
    { ariaLabelledBy: "contents" },
    h("h2#contents", {}, "Contents"),
    h(
      "ol",
      {},
      sections.map(({ anchor, title, parts }) =>
        h(
          "li",
          {},
          entry(anchor, title),
          parts.length > 0 &&
            h("ul", {}, parts.map((part) => h("li", {}, entry(part.anchor, part.title)))),
        )
      ),
    ),
  );
}

/** A heading without links, which may not stand within another. */
function unlinked(content: Content): Content {
  return flat([content]).map((node): Content => {
    if (node.type !== "element") return node;
    const children = flat([unlinked(node.children)]);
    return node.tagName === "a" ? children : { ...node, children };
  });
}
