// @ts-types="@types/css-tree"
import { type CssNode, generate, parse } from "css-tree";

/**
 * What a drawing's own rules may set: how shapes and letters look, and nothing of a page's layout.
 */
const properties = new Set(
  ("fill fill-opacity fill-rule stroke stroke-width stroke-opacity stroke-dasharray " +
    "stroke-dashoffset stroke-linecap stroke-linejoin stroke-miterlimit paint-order opacity " +
    "visibility color font-family font-size font-style font-weight font-variant " +
    "font-variant-numeric letter-spacing word-spacing text-anchor dominant-baseline " +
    "text-decoration white-space clip-path clip-rule mask marker-start marker-mid marker-end " +
    "stop-color stop-opacity display max-width text-align " +
    "vector-effect shape-rendering text-rendering").split(" "),
);

const functions = new Set(["var", "rgb", "rgba", "hsl", "hsla", "calc", "url"]);

/**
 * The declarations of a `style` attribute that a drawing or a table may have, the others left out.
 */
export function safeDeclarations(style: string): string {
  const list = parsed(style, "declarationList");
  return list?.type === "DeclarationList" ? declarationsIn(list.children.toArray()) : "";
}

/**
 * The rules of a drawing's style sheet that touch that drawing alone: a rule that could reach the
 * page around it is bound to the drawing's id; what could fetch or lay out the page is left out.
 *
 * @param rootId Id of the drawing; without one no rule is kept.
 */
export function safeRules(sheet: string, rootId: string | undefined): string {
  const tree = rootId && /^[\w-]+$/.test(rootId) ? parsed(sheet, "stylesheet") : undefined;
  if (tree?.type !== "StyleSheet") return "";
  return tree.children.toArray().map((rule) => {
    if (rule.type !== "Rule" || rule.prelude.type !== "SelectorList") return "";
    const declarations = declarationsIn(rule.block.children.toArray());
    const selectors = rule.prelude.children.toArray().map((selector) => generate(selector))
      .filter((selector) => !/[<\\&"]/.test(selector))
      .map((selector) => isBound(selector, `#${rootId}`) ? selector : `#${rootId} ${selector}`);
    return declarations && selectors.length > 0 ? `${selectors.join(",")}{${declarations}}` : "";
  }).join("");
}

function isBound(selector: string, root: string): boolean {
  return selector === `:where(${root})` || selector === root || selector.startsWith(`${root} `);
}

function parsed(text: string, context: string): CssNode | undefined {
  try {
    return parse(text, { context });
  } catch {
    return undefined;
  }
}

function declarationsIn(nodes: readonly CssNode[]): string {
  return nodes.flatMap((node) => {
    if (node.type !== "Declaration" || !properties.has(node.property)) return [];
    const value = generate(node.value);
    return isHarmless(value) ? [`${node.property}:${value}`] : [];
  }).join(";");
}

/** A value that fetches nothing, ends nothing and calls nothing but what is known. */
export function isHarmless(value: string): boolean {
  if (/[<>\\&;{}@]/.test(value) || /url\((?!["']?#[\w-]+["']?\))/i.test(value)) return false;
  return [...value.matchAll(/([\w-]+)\(/g)].every(([, name = ""]) => functions.has(name));
}
