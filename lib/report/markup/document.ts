import { type Content, h, pageText } from "../tree/mod.ts";
import { type Sheet, styleSheet } from "./style-sheet.ts";

/** What every page of the project is made of. */
export interface PageParts {
  title: string;
  /** What a search or a preview shows. */
  description?: string;
  /** The one script that the page may run, and its hash. */
  script?: { code: string; hash: string };
  /** What this kind of page adds to the style sheet. */
  sheet?: Sheet;
  /** Style rules of this page alone. */
  style?: string;
  /** Whether it may send forms to where it came from. */
  forms?: boolean;
  body: Content;
}

/**
 * A page as one HTML file that fetches nothing: its policy lets its own styles and, where it has
 * one, its own script run, and nothing else.
 */
export function documentHtml(parts: PageParts): string {
  const { title, description, script, sheet, style = "", forms = false, body } = parts;
  const policy = [
    "default-src 'none'",
    ...(script ? [`script-src '${script.hash}'`] : []),
    "style-src 'unsafe-inline'",
    "img-src data:",
    "base-uri 'none'",
    `form-action '${forms ? "self" : "none"}'`,
  ].join("; ");
  return pageText(h(
    "html",
    { lang: "en" },
    h(
      "head",
      {},
      h("meta", { charset: "utf-8" }),
      h("meta", { name: "viewport", content: "width=device-width, initial-scale=1" }),
      h("meta", { httpEquiv: "Content-Security-Policy", content: policy }),
      h("meta", { name: "color-scheme", content: "light dark" }),
      description !== undefined && h("meta", { name: "description", content: description }),
      h("title", {}, title),
      h("style", {}, `${styleSheet(sheet)}${style}`),
    ),
    h("body", {}, body, script && h("script", {}, script.code)),
  ));
}

/** A section of a page under a heading of the second level. */
export function sectionTree(anchor: string, title: string, ...content: Content[]) {
  return h(
    "section.standing",
    { id: anchor },
    h("div.head", {}, h("h2", {}, title)),
    h("div.body", {}, content),
  );
}
