/** How much a notebook may show: enough for any report, too little to break one. */
export interface Budget {
  /** Outputs of a notebook, cells that begin among them. */
  events: number;
  /** Letters a cell may print. */
  printed: number;
  /** Letters of one figure, table or other thing shown, as JSON. */
  shown: number;
  /** Letters a notebook may show and print altogether. */
  notebook: number;
  /** Values in one table. */
  values: number;
  /** How deep the parts of a drawing may lie in each other. */
  depth: number;
}

/** The demonstration's notebooks show at most 0.3 million letters at once, 0.6 million each. */
export const budget: Budget = {
  events: 5000,
  printed: 2e6,
  shown: 16e6,
  notebook: 64e6,
  values: 200_000,
  depth: 100,
};

/**
 * Why a drawing is too large or too deep to be read, where it is: its parts are counted on the
 * text, since a reader of trees that are too deep fails itself.
 */
export function drawingProblem(svg: string, most: Budget = budget): string | undefined {
  let depth = 0;
  for (const [tag] of svg.matchAll(/<\/?[a-z][^>]*>/gi)) {
    if (tag.startsWith("</")) depth--;
    else if (!tag.endsWith("/>")) depth++;
    if (depth > most.depth) {
      return `its parts lie more than ${most.depth} deep in each other; draw it with fewer groups`;
    }
  }
  return undefined;
}
