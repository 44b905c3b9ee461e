import { curveFigure } from "./curve-figure.ts";
import type { Figure, FigureOptions } from "../drawing/mod.ts";
import type { GroupRole } from "../theme/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import { formatNumber } from "../../words/mod.ts";

/** One way of acting, with its net benefit at each threshold. */
export interface DrawnRule {
  /** Name as readers see it. */
  label: string;
  /** Net benefit at each threshold, with limits. */
  benefit: readonly { estimate: number; lower: number; upper: number }[];
}

const roles: readonly GroupRole[] = ["repair", "replacement", "third"];

/**
 * Decision curve: net benefit per 100 patients over the risk at which a reader would act, for each
 * rule and for acting on all; acting on none is the line at 0.
 *
 * @example
 * ```ts
 * import { decisionFigure } from "mitral";
 * const thresholds = [0.1, 0.2];
 * const benefit = [
 *   { estimate: 0.08, lower: 0.05, upper: 0.1 },
 *   { estimate: 0.04, lower: 0.01, upper: 0.06 },
 * ];
 * const ofMarks = [
 *   { estimate: 0.06, lower: 0.03, upper: 0.09 },
 *   { estimate: 0.02, lower: -0.01, upper: 0.05 },
 * ];
 * const all = [{ estimate: 0.05 }, { estimate: -0.03 }];
 * decisionFigure({
 *   id: "marks-decision",
 *   title: "Acting on the warning marks",
 *   thresholds,
 *   rules: [{ label: "Model", benefit }, { label: "Either mark", benefit: ofMarks }],
 *   all,
 *   xLabel: "Risk at which one would act",
 * });
 * ```
 * @throws {DataError} On no rule, more than three, or columns of unlike length.
 */
export function decisionFigure(
  options: FigureOptions & {
    thresholds: ArrayLike<number>;
    rules: readonly DrawnRule[];
    all: readonly { estimate: number }[];
    xLabel: string;
  },
): Figure {
  const { thresholds, rules, all, ...rest } = options;
  if (rules.length < 1 || rules.length > roles.length) {
    throw new DataError("rules", `one to ${roles.length}`, rules.length);
  }
  const x = Array.from(thresholds, (t) => 100 * t);
  const per100 = (values: readonly { estimate: number }[]) =>
    values.map(({ estimate }) => 100 * estimate);
  const drawn = rules.map(({ label, benefit }, k) => ({
    label,
    role: roles[k]!,
    x,
    estimate: per100(benefit),
    lower: benefit.map(({ lower }) => 100 * lower),
    upper: benefit.map(({ upper }) => 100 * upper),
  }));
  const highest = Math.max(
    ...drawn.flatMap(({ upper }) => upper),
    ...per100(all),
    1,
  );
  const figure = curveFigure({
    ...rest,
    curves: [...drawn, { label: "On all", role: "fourth", x, estimate: per100(all) }],
    yLabel: "Net benefit per 100 patients",
    // far below nothing says no more than a little below
    yDomain: [-0.35 * highest, 1.05 * highest],
    format: (value) => formatNumber(value, { digits: Number.isInteger(value) ? 0 : 1 }),
    reference: 0,
  });
  return { ...figure, redraw: (width) => decisionFigure({ ...options, width }) };
}
