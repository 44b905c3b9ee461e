import { markdownTree } from "../markup/mod.ts";
import type { Notebook, NotebookProse } from "../notebooks/mod.ts";
import { type Content, flat, htmlText, ready } from "../tree/mod.ts";

/** Reads a notebook's prose, once: nothing that it shows changes it. */
export function notebookProse(notebook: Notebook): NotebookProse {
  let prose = read.get(notebook);
  if (!prose) read.set(notebook, prose = readProse(notebook));
  return prose;
}

/** Takes what was read of a notebook in an earlier run. */
export function rememberProse(notebook: Notebook, prose: NotebookProse): void {
  read.set(notebook, prose);
}

const read = new WeakMap<Notebook, NotebookProse>();

function readProse({ id, cells }: Notebook): NotebookProse {
  const parts: NotebookProse["parts"] = [];
  let title: Content;
  const contents = cells.map(({ cell_type, source }, index) => {
    if (cell_type !== "markdown") return null;
    const { heading, rest } = title === undefined
      ? splitTitle(source)
      : { heading: "", rest: source };
    if (heading) title = inlineMarkdown(heading);
    const content = markdownTree(rest, {
      shift: 1,
      prefix: `${id}-${index}`,
      onHeading: ({ depth, content, anchor }) => {
        if (depth === 3) parts.push({ anchor, title: content });
      },
    });
    return ready(htmlText(content));
  });
  return { title, parts, cells: contents };
}

/** Takes a leading heading off a cell: it becomes the section's. */
function splitTitle(source: string): { heading: string; rest: string } {
  const found = /^\s*#{1,6}\s+(.+?)\s*#*\s*(?:\n|$)/.exec(source);
  return found
    ? { heading: found[1] ?? "", rest: source.slice(found[0].length) }
    : { heading: "", rest: source };
}

function inlineMarkdown(text: string): Content {
  return flat(markdownTree(text, { shift: 0, prefix: "title" })).map((node) =>
    node.type === "element" && node.tagName === "p" ? node.children : node
  );
}
