import { DataError } from "../../numerics/mod.ts";
import { formatNumber, per100 } from "../../words/mod.ts";
import {
  type Figure,
  type FigureOptions,
  makeFigure,
  percentText,
  rowLayout,
  sentences,
  stack,
} from "../drawing/mod.ts";
import { drawingWidth } from "../theme/mod.ts";
import { perHundred } from "./forest-words.ts";
import { choicesPanel, rowsOf } from "./paths-choices.ts";
import { estimatesPanel } from "./paths-estimates.ts";
import type { DrawnChoice, DrawnPath } from "./paths-rows.ts";

/**
 * Differences of proportions by every path, in the order of their estimates, with limits; beneath,
 * a row for each option with a mark under every path that took it. The plan's own path is named,
 * and a band shows differences too small to matter.
 *
 * @example
 * ```ts ignore
 * import { pathsFigure } from "mitral";
 * pathsFigure({
 *   id: "survival-paths",
 *   title: "Alive at 5 years, by every path",
 *   ...survival, // of `studyPaths`
 *   directions: ["More alive: replacement", "More alive: repair"],
 * });
 * ```
 * @throws {DataError} On no path, an estimate outside its limits, or a choice that is no option.
 */
export function pathsFigure(
  options: FigureOptions & {
    dimensions: readonly DrawnChoice[];
    /** In any order. */
    paths: readonly DrawnPath[];
    /** Of proportions; no band without it. */
    smallestDifference?: number;
    /** In how many completed sets the paths that impute were worked out. */
    sets?: number;
    /** What is below and above zero. */
    directions?: readonly [string, string];
  },
): Figure {
  const { dimensions, smallestDifference, sets, width = drawingWidth } = options;
  checkPaths(options.paths, dimensions);
  const paths = [...options.paths].sort((a, b) => a.estimate - b.estimate);
  const rows = rowsOf(dimensions, paths);
  const layout = rowLayout(rows.map(({ label }) => label), { width, share: 0.46 });
  const margins = { marginLeft: layout.left, marginRight: 12 };
  const x = { domain: [-0.5, paths.length - 0.5] as [number, number] };
  const perPath = (width - margins.marginLeft - margins.marginRight) / paths.length;
  const upper = estimatesPanel(paths, { ...options, smallestDifference, width, margins, x });
  const lower = choicesPanel(paths, rows, { width, margins, x, perPath });
  const share = (holds: (path: DrawnPath) => boolean) =>
    percentText(paths.filter(holds).length / paths.length);
  const planned = paths.find((path) => path.planned);
  const text = (value: number) => perHundred(value, 1);
  return makeFigure(stack([upper, lower], { gap: 8 }), {
    ...options,
    redraw: (width) => pathsFigure({ ...options, width }),
    caption: sentences(
      options.caption,
      `${paths.length} paths, in the order of their estimates; lines are confidence limits, dark ` +
        "where they leave zero out",
      smallestDifference !== undefined &&
        `In the band the difference is below ${
          formatNumber(per100(smallestDifference), { digits: 0 })
        } per 100`,
      sets !== undefined &&
        `Paths that impute are pooled over ${sets} completed sets each: the plan's own may differ ` +
          "a little from the answer over all sets",
    ),
    alt: options.alt ?? sentences(
      `${paths.length} estimates, per 100, from ${text(paths[0]!.estimate)} to ` +
        text(paths.at(-1)!.estimate),
      `${share(({ estimate }) => estimate > 0)} are above zero`,
      `Limits leave zero out in ${share(({ lower, upper }) => lower > 0 || upper < 0)}`,
      planned &&
        `The plan's own${sets === undefined ? "" : `, over ${sets} completed sets`}: ${
          text(planned.estimate)
        } (${text(planned.lower)} to ${text(planned.upper)})`,
    ),
  });
}

function checkPaths(paths: readonly DrawnPath[], dimensions: readonly DrawnChoice[]): void {
  if (paths.length === 0) throw new DataError("paths", "at least one", "none");
  paths.forEach(({ estimate, lower, upper, choices }, k) => {
    if (!(lower <= estimate && estimate <= upper)) {
      throw new DataError("paths.estimate", `from ${lower} to ${upper}`, estimate, k);
    }
    for (const { id, options } of dimensions) {
      if (options.some((option) => option.id === choices[id])) continue;
      throw new DataError(`paths.choices.${id}`, "one of the options", choices[id], k);
    }
  });
}
