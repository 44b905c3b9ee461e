import { frontTree } from "../article/mod.ts";
import type { ReportModel } from "../model/mod.ts";
import { onOwnPage } from "../page/mod.ts";
import { type ElementContent, flat, textOfTree } from "../tree/mod.ts";

/** A piece of the sheet, for a page that is not HTML: words in one style, or a row of cells. */
export type BriefBlock =
  | { kind: "question" | "heading" | "finding" | "words" | "point"; text: string }
  | { kind: "row"; cells: string[]; heading: boolean };

/** What the sheet says, in its order; drawings are left out, whose words say the same. */
export function briefBlocks(model: ReportModel): BriefBlock[] {
  return flat([frontTree(onOwnPage(model, [], []))]).flatMap(blocksOf);
}

function blocksOf(node: ElementContent): BriefBlock[] {
  if (node.type !== "element") return [];
  const { tagName, children, properties } = node;
  const text = plain(textOfTree(node));
  switch (tagName) {
    case "svg":
      return [];
    case "h1":
      return [{ kind: "question", text }];
    case "h2":
      return [{ kind: "heading", text }];
    case "h3":
      return [{ kind: "finding", text }];
    case "li":
      return [{ kind: "point", text }];
    case "p":
    case "figcaption":
      // what follows the first words of a source are links, which paper has none of
      if (properties.id === "title") return [{ kind: "words", text: apart(children) }];
      return [{ kind: "words", text: isSource(properties.className) ? firstWords(node) : text }];
    case "tr": {
      const cells = children.flatMap((cell) => cell.type === "element" ? [cell] : []);
      const heading = cells.every((cell) => cell.properties.scope === "col");
      return [{ kind: "row", cells: cells.map((cell) => plain(textOfTree(cell))), heading }];
    }
    default:
      return children.flatMap((child) => blocksOf(child));
  }
}

/** The study and its centre, which the page keeps apart by a rule. */
function apart(children: ElementContent[]): string {
  return children.map((child) => plain(textOfTree(child))).filter((text) => text !== "").join(", ");
}

function isSource(className: unknown): boolean {
  return Array.isArray(className) && className.includes("from");
}

function firstWords({ children }: { children: ElementContent[] }): string {
  const [first] = children;
  return first ? plain(textOfTree(first)) : "";
}

function plain(text: string): string {
  return text.replace(/\s+/g, " ").trim();
}
