import { fromHtml } from "hast-util-from-html";
import { sanitize, type Schema } from "hast-util-sanitize";
import { Marked, type Token } from "marked";
import katex from "marked-katex-extension";
import { type Element, type ElementContent, elementsOf, h, textOfTree } from "../tree/mod.ts";

/** How to turn a markdown cell into a part of a page. */
export interface MarkdownOptions {
  /** Added to the depth of headings, so that a notebook's first level sits below the page's. */
  shift: number;
  /** Put before the anchors of headings, so that notebooks do not share any. */
  prefix: string;
  /** Told of each heading, in order. */
  onHeading?: (heading: { depth: number; content: ElementContent[]; anchor: string }) => void;
}

const formulas =
  ("math semantics annotation mrow mi mn mo ms mtext mspace msup msub msubsup mfrac msqrt mroot " +
    "mtable mtr mtd munder mover munderover mstyle mpadded mphantom menclose").split(" ");

const schema: Schema = {
  tagNames: [
    ..."p br hr strong em del code pre blockquote ul ol li a span table thead tbody tr th td".split(
      " ",
    ),
    ..."h1 h2 h3 h4 h5 h6".split(" "),
    ...formulas,
  ],
  attributes: {
    a: ["href"],
    span: [["className", "katex", "katex-error"]],
    ol: ["start"],
    th: ["align"],
    td: ["align"],
    math: ["xmlns", "display"],
    annotation: ["encoding"],
    "*": ("mathvariant stretchy fence separator lspace rspace accent accentunder linethickness " +
      "columnalign rowalign columnspacing rowspacing scriptlevel displaystyle height depth " +
      "voffset minsize maxsize form movablelimits symmetric notation").split(" "),
  },
  protocols: { href: ["http", "https"] },
  strip: ["script", "style"],
  clobber: [],
};

const marked = new Marked({ gfm: true, async: false });
marked.use(katex({
  output: "mathml",
  throwOnError: false,
  strict: "ignore",
  trust: false,
  maxExpand: 200,
}));
marked.use({ walkTokens: plainly, hooks: { preprocess: joinFormulas } });

/**
 * Markdown as a tree that runs nothing and fetches nothing: raw HTML is shown as text, pictures
 * become their description, links lead to the web or within the page only. Formulas between dollar
 * signs become MathML, which browsers draw without a style sheet or fonts.
 */
export function markdownTree(source: string, options: MarkdownOptions): ElementContent[] {
  const html = marked.parse(source);
  if (typeof html !== "string") throw new Error("Cannot render markdown: it was not synchronous");
  const root = sanitize(fromHtml(html, { fragment: true }), schema);
  if (root.type !== "root") return [];
  const taken = new Map<string, number>();
  for (const element of elementsOf(root)) {
    const level = /^h([1-6])$/.exec(element.tagName)?.[1];
    if (level) nameHeading(element, Number(level), { ...options, taken });
    if (element.tagName === "a") keepLink(element);
    if (element.tagName === "th" || element.tagName === "td") alignCell(element);
    if (element.tagName === "p" && isFormula(element)) element.properties.className = ["formula"];
  }
  return root.children.flatMap((node): ElementContent[] => {
    if (node.type === "doctype") return [];
    if (node.type !== "element") return [node];
    if (node.tagName === "table") return [h("div.scroll", { tabindex: 0 }, node)];
    return node.tagName === "span" ? [h("p.formula", {}, node)] : [node];
  });
}

/** A formula may be broken over lines of its paragraph; its reader takes it on one. */
function joinFormulas(source: string): string {
  const joined = (formula: string) => formula.replace(/ *\n */g, " ");
  return source.replace(/\$\$(?!\n)[^$`]+?(?<!\n)\$\$/g, joined)
    .replace(/(?<![$\\])\$(?![\s$])(?:\\.|(?!\n\n)[^$\\`])+?(?<!\s)\$(?![\d$])/g, joined);
}

/** Raw HTML is text; a picture is its description, in italics. */
function plainly(token: Token): void {
  if (token.type === "html") {
    Object.assign(token, { type: "text", escaped: false, tokens: undefined });
  }
  if (token.type === "image") {
    const text = token.text;
    Object.assign(token, {
      type: "em",
      tokens: [{ type: "text", raw: text, text, escaped: false }],
    });
  }
}

function nameHeading(
  element: Element,
  level: number,
  { shift, prefix, onHeading, taken }: MarkdownOptions & { taken: Map<string, number> },
): void {
  const depth = Math.min(6, level + shift);
  const slug = slugOf(textOfTree(element));
  const repeat = taken.get(slug) ?? 0;
  taken.set(slug, repeat + 1);
  const anchor = `${prefix}-${slug}${repeat ? `-${repeat + 1}` : ""}`;
  element.tagName = `h${depth}`;
  element.properties.id = anchor;
  onHeading?.({ depth, content: element.children, anchor });
}

/** A link to the web or within the page; of any other only its words stay. */
function keepLink(element: Element): void {
  if (/^(https?:\/\/|#)/i.test(String(element.properties.href ?? ""))) return;
  element.tagName = "span";
  element.properties = {};
}

function alignCell(element: Element): void {
  const { align } = element.properties;
  if (element.tagName === "th") element.properties.scope = "col";
  element.properties.align = null;
  if (/^(left|center|right)$/.test(String(align))) element.properties.style = `text-align:${align}`;
}

function isFormula({ children }: Element): boolean {
  const [only, ...rest] = children.filter((child) =>
    child.type !== "text" || child.value.trim() !== ""
  );
  return rest.length === 0 && only?.type === "element" &&
    [...elementsOf(only)].some(({ tagName, properties }) =>
      tagName === "math" && properties.display === "block"
    );
}

/** Text as part of an anchor: letters, digits and hyphens. */
export function slugOf(text: string): string {
  return text.toLowerCase().normalize("NFKD").replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "") ||
    "part";
}
