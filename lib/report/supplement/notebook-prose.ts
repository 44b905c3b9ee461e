import { markdownTree } from "../markup/mod.ts";
import type { Notebook } from "../notebooks/mod.ts";
import type { Section } from "../page/mod.ts";
import { type Content, flat } from "../tree/mod.ts";

/** What a notebook says beside its code, as its section shows it. */
export interface NotebookProse {
  /** Its first heading, which becomes the section's; undefined where it has none. */
  title: Content;
  /** Headings that the contents list. */
  parts: Section["parts"];
  /** Of each cell by its place; nothing for cells that are no prose. */
  cells: Content[];
}

/** Reads a notebook's prose, once: nothing that it shows changes it. */
export function notebookProse(notebook: Notebook): NotebookProse {
  let prose = read.get(notebook);
  if (!prose) read.set(notebook, prose = readProse(notebook));
  return prose;
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
    return markdownTree(rest, {
      shift: 1,
      prefix: `${id}-${index}`,
      onHeading: ({ depth, content, anchor }) => {
        if (depth === 3) parts.push({ anchor, title: content });
      },
    });
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
