import { Memory } from "../../numerics/memory/mod.ts";
import { markdownTree } from "../markup/mod.ts";
import { htmlText, type Ready, ready } from "../tree/mod.ts";

/** What a cell said as Markdown, for a page. */
export function saidOnPage(markdown: string): Ready {
  return ready(saidMarkup(markdown));
}

/** What {@link saidOnPage} puts on a page, to be kept. */
export function saidMarkup(markdown: string): string {
  return written.get(
    markdown,
    () => htmlText(markdownTree(markdown, { shift: 2, prefix: "shown" })),
  );
}

/** Takes what was made of it in an earlier run. */
export function rememberSaid(markdown: string, markup: string): void {
  written.set(markdown, markup);
}

const written = new Memory<string>(2000);
