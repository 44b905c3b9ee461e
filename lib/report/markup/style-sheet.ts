import { darkScheme } from "../../figures/drawing/mod.ts";

let sheet: string | undefined;

/**
 * The style sheet of every page, `style.css` beside this file, with the dark colours of drawings
 * and without the white space that makes it readable.
 */
export function styleSheet(): string {
  sheet ??= Deno.readTextFileSync(new URL("./style.css", import.meta.url))
    .replace("--figures: dark;", `${darkScheme()};`)
    .replace(/\/\*.*?\*\//gs, "")
    .replace(/\n\s*/g, "\n").trim();
  return sheet;
}
