import { DataError } from "../../numerics/mod.ts";
import { checkItemName } from "../../words/mod.ts";
import { element, escapeXml, type Panel, roleRules, serialize, tidy } from "./svg.ts";
import { fontFamily, palette } from "../theme/mod.ts";

const displayHook: unique symbol = Symbol.for("Jupyter.display") as never;
const mediaType = "application/vnd.mitral+json";

/** A drawing with the words that belong to it, which shows itself in a notebook and the report. */
export interface Figure {
  /** Tells it from tables, findings and notes. */
  kind: "figure";
  /** Lower-case words joined by hyphens, unique in the report: the name of its file. */
  id: string;
  /** Heading, without a full stop. */
  title: string;
  /** What is drawn, of whom, and how to read it. */
  caption: string;
  /** What a reader who cannot see the drawing is told. */
  alt: string;
  /** One self-contained SVG element. */
  svg: string;
  /** The table that holds its numbers. */
  tableId?: string;
  /**
   * Which of several answers to one question this draws, so that a page can switch between them.
   */
  version?: FigureVersion;
  /**
   * The same figure laid out for another width, letters of the same size: two columns of a page.
   */
  redraw?(width: number): Figure;
}

/**
 * One question drawn under several designs: figures of the same `of` can stand in
 * each other's place.
 */
export interface FigureVersion {
  /** Lower-case words joined by hyphens: what all of them ask. */
  of: string;
  /** How the groups were made alike. */
  design: "unadjusted" | "matched" | "weighted";
}

/** What every figure is asked for besides its results. */
export interface FigureOptions {
  /** Name that it is referred to by. */
  id: string;
  /** Heading, without a full stop. */
  title: string;
  /** Sentences put before the figure's own note on how to read it. */
  caption?: string;
  /** In place of the description the figure writes from its results. */
  alt?: string;
  /** Id of the table with its numbers. */
  tableId?: string;
  /** Which of several drawings of one question it is. */
  version?: FigureVersion;
  /** In drawing units; letters keep their size. Default 480, one column or a phone. */
  width?: number;
}

/**
 * Makes a figure of a drawing.
 *
 * The SVG scales to the width it is given, holds its title and description, refers to nothing
 * outside itself and has the same bytes for the same drawing.
 *
 * @throws {DataError} On an id that cannot be a file name, or an empty title or description.
 */
export function makeFigure(
  panel: Panel,
  options: FigureOptions & { caption: string; alt: string } & Pick<Figure, "redraw">,
): Figure {
  const { id, title, caption, alt, tableId, version, redraw } = options;
  checkItemName("figure id", id);
  if (version) checkItemName("version.of", version.of);
  if (!title.trim()) throw new DataError("title", "text", title);
  if (!alt.trim()) throw new DataError("alt", "text", alt);
  const width = Math.ceil(panel.width);
  const height = Math.ceil(panel.height);
  const body = tidy(element("g", { fill: palette.ink }, ...panel.content), id);
  const rootId = `${id}-drawing`;
  const root = element(
    "svg",
    {
      xmlns: "http://www.w3.org/2000/svg",
      id: rootId,
      role: "img",
      "aria-labelledby": `${id}-title ${id}-desc`,
      viewBox: `0 0 ${width} ${height}`,
      width,
      height,
      "font-family": fontFamily,
    },
    element("title", { id: `${id}-title` }, title),
    element("desc", { id: `${id}-desc` }, alt),
    element("style", {}, roleRules(body, { id: rootId, width })),
    body,
  );
  const svg = serialize(root);
  const fields = {
    kind: "figure" as const,
    id,
    title,
    caption,
    alt,
    svg,
    ...(tableId && { tableId }),
    ...(version && { version }),
  };
  const figure = {
    ...fields,
    ...(redraw && { redraw }),
    [displayHook]() {
      return {
        "text/plain": `${title}\n${alt}`,
        "image/svg+xml": svg,
        "text/html": `<figure id="${id}">${svg}<figcaption><strong>${escapeXml(title)}.</strong> ` +
          `${escapeXml(caption)}</figcaption></figure>`,
        [mediaType]: fields,
      };
    },
  };
  return figure;
}

/** Sentences joined, each ended. */
export function sentences(...parts: (string | undefined | false)[]): string {
  return parts.filter((part): part is string => Boolean(part))
    .map((part) => part.trim())
    .filter(Boolean)
    .map((part) => (/[.!?)]$/.test(part) ? part : `${part}.`))
    .join(" ");
}
