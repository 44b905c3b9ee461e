import katex from "katex";
import { Marked, type Tokens } from "marked";
import { escapeHtml } from "../show/mod.ts";

/** How to turn a markdown cell into HTML. */
export interface MarkdownOptions {
  /** Added to the depth of headings, so that a notebook's first level sits below the page's. */
  shift: number;
  /** Put before the anchors of headings, so that notebooks do not share any. */
  prefix: string;
  /** Told of each heading, in order. */
  onHeading?: (heading: { depth: number; html: string; anchor: string }) => void;
}

/**
 * Markdown as HTML that runs nothing and fetches nothing: raw HTML is shown as text, pictures
 * become their description, links lead to the web or within the page only. Formulas between dollar
 * signs become MathML, which browsers draw without a style sheet or fonts.
 */
export function markdownHtml(source: string, options: MarkdownOptions): string {
  const taken = new Map<string, number>();
  const marked = new Marked({ gfm: true, async: false });
  marked.use({
    extensions: [blockFormula, inlineFormula],
    renderer: {
      heading({ tokens, depth, text }: Tokens.Heading) {
        const level = Math.min(6, depth + options.shift);
        const html = this.parser.parseInline(tokens);
        const slug = slugOf(text);
        const repeat = taken.get(slug) ?? 0;
        taken.set(slug, repeat + 1);
        const anchor = `${options.prefix}-${slug}${repeat ? `-${repeat + 1}` : ""}`;
        options.onHeading?.({ depth: level, html, anchor });
        return `<h${level} id="${anchor}">${html}</h${level}>\n`;
      },
      html: ({ text }: Tokens.HTML | Tokens.Tag) => escapeHtml(text),
      image: ({ text }: Tokens.Image) => `<em>${escapeHtml(text)}</em>`,
      link({ href, tokens }: Tokens.Link) {
        const text = this.parser.parseInline(tokens);
        return /^(https?:\/\/|#)/i.test(href) ? `<a href="${escapeHtml(href)}">${text}</a>` : text;
      },
      table(token: Tokens.Table) {
        const row = (cells: Tokens.TableCell[], tag: "th" | "td") =>
          `<tr>${
            cells.map((cell) => {
              const scope = tag === "th" ? ' scope="col"' : "";
              const align = cell.align ? ` style="text-align:${cell.align}"` : "";
              return `<${tag}${scope}${align}>${this.parser.parseInline(cell.tokens)}</${tag}>`;
            }).join("")
          }</tr>`;
        const body = token.rows.map((cells) => row(cells, "td")).join("\n");
        return `<div class="scroll" tabindex="0"><table><thead>${
          row(token.header, "th")
        }</thead><tbody>${body}</tbody></table></div>\n`;
      },
    },
  });
  const html = marked.parse(source);
  if (typeof html !== "string") throw new Error("Cannot render markdown: it was not synchronous");
  return html;
}

const blockFormula = {
  name: "blockFormula",
  level: "block" as const,
  start: (source: string) => source.indexOf("$$"),
  tokenizer(source: string) {
    const found = /^\$\$([\s\S]+?)\$\$[ \t]*(?:\n|$)/.exec(source);
    return found ? { type: "blockFormula", raw: found[0], text: found[1] ?? "" } : undefined;
  },
  renderer: (token: Tokens.Generic) => `<p class="formula">${formula(token.text, "block")}</p>\n`,
};

const inlineFormula = {
  name: "inlineFormula",
  level: "inline" as const,
  start: (source: string) => source.indexOf("$"),
  // the opening dollar hugs its formula and the closing one is not followed by a digit: prices stay
  tokenizer(source: string) {
    const found = /^\$(?![\s$])((?:\\.|[^$\\\n])+?)(?<!\s)\$(?!\d)/.exec(source);
    return found ? { type: "inlineFormula", raw: found[0], text: found[1] ?? "" } : undefined;
  },
  renderer: (token: Tokens.Generic) => formula(token.text, "inline"),
};

function formula(source: string, display: "block" | "inline"): string {
  return katex.renderToString(source.trim(), {
    displayMode: display === "block",
    output: "mathml",
    throwOnError: false,
    strict: "ignore",
    trust: false,
    maxExpand: 200,
  });
}

/** Text as part of an anchor: letters, digits and hyphens. */
export function slugOf(text: string): string {
  return text.toLowerCase().normalize("NFKD").replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "") ||
    "part";
}
