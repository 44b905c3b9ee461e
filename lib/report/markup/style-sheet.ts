import { darkScheme } from "../../figures/theme/mod.ts";

/** What a page adds to the style sheet of every page. */
export type Sheet = "article" | "brief";

const read = new Map<string, string>();

/**
 * The style sheet of every page, `style.css` beside this file, with the dark colours of drawings
 * and without the white space that makes it readable; then that of one kind of page.
 */
export function styleSheet(own?: Sheet): string {
  const every = sheet("style").replace("--figures: dark;", `${darkScheme()};`);
  const sheets: Record<Sheet, Sheet[]> = { article: ["article"], brief: ["article", "brief"] };
  return [every, ...own ? sheets[own].map(sheet) : []].join("\n");
}

function sheet(name: string): string {
  const known = read.get(name) ?? Deno.readTextFileSync(new URL(`./${name}.css`, import.meta.url))
    .replace(/\/\*.*?\*\//gs, "").replace(/\n\s*/g, "\n").trim();
  read.set(name, known);
  return known;
}
