import type { LeakAtVisits, VisitCounting } from "../../competing/visits/mod.ts";
import type { EffectCurve, Figure, FigureOptions } from "../../figures/drawing/mod.ts";
import { curveFigure } from "../../figures/estimates/mod.ts";
import { soundTo } from "../../sensitivity/calibrated/mod.ts";
import { type DisplayTable, type Remark, say, table, type TableRow } from "../show/mod.ts";
import { type RatioLine, ratioLine } from "../tables/mod.ts";
import type { GroupLabels, TableHeading } from "../items/mod.ts";
import { levelText } from "../../words/mod.ts";

const names: Record<VisitCounting, string> = {
  "on-schedule": "On schedule",
  "by-visit-rate": "Weighted by visit rate",
  "as-seen": "As seen",
};

/** What brings a visit forward: the lines of a table of ratios. */
export function visitRatios({ visits }: Pick<LeakAtVisits, "visits">): RatioLine[] {
  const line = (name: string, term: string) => ratioLine("Visits", visits.model, name, term);
  return [
    line("moderate", "last grade 2+ against less"),
    line("severe", "last grade 3+ or 4+ against less"),
    line("symptoms", "last visit for symptoms"),
    line("repair", "repair against replacement"),
  ];
}

/**
 * How far, in years, a way of counting visits may be shown; visits as seen beside
 * what corrects them.
 */
function shownTo(counting: VisitCounting): number {
  return soundTo(counting === "as-seen" ? "on-schedule" : counting).years;
}

/**
 * The share with a leak over time from the visits on schedule, with limits, and beside it, thin,
 * what the visits show as they were seen. Each only as far as simulations show that it holds; a
 * group in which hardly any visit showed a leak has no curve.
 */
export function leakCurves(
  { shares }: Pick<LeakAtVisits, "shares">,
  { labels }: { labels: GroupLabels },
): EffectCurve[] {
  return (["on-schedule", "as-seen"] as const).flatMap((counting) =>
    [1, 0].flatMap((code) =>
      shares[counting].groups.filter(({ group, converged }) => Number(group) === code && converged)
        .map(({ time, proportion, lower, upper }): EffectCurve => {
          const kept = <T>(column: ArrayLike<T>) =>
            Array.from(column).filter((_, k) => time[k]! <= shownTo(counting));
          return {
            label: `${code === 1 ? labels.repair : labels.replacement}, ${
              names[counting].toLowerCase()
            }`,
            role: code === 1 ? "repair" : "replacement",
            x: kept(time),
            estimate: kept(proportion),
            ...(counting === "as-seen" ? { beside: true } : {
              lower: kept(lower),
              upper: kept(upper),
            }),
          };
        })
    )
  );
}

/** The curves of {@link leakCurves}; a sentence where hardly any visit showed a leak. */
export function leakFigure(
  heading: Pick<FigureOptions, "id" | "title" | "caption"> & {
    tableId: string;
    labels: GroupLabels;
  },
  leaks: Pick<LeakAtVisits, "shares">,
): Figure | Remark {
  const { labels, ...rest } = heading;
  const curves = leakCurves(leaks, { labels });
  if (curves.length === 0) return say("Too few visits showed a leak for a curve to be drawn.");
  return curveFigure({
    ...rest,
    xLabel: "Years after operation",
    yLabel: "Share with 2+ or worse",
    format: "percent",
    curves,
  });
}

/** The same at the horizons, by how visits are counted; no line past where one holds. */
export function leakTable(
  heading: TableHeading & {
    labels: GroupLabels;
    horizons: readonly number[];
    confidence?: number;
  },
  { shares }: Pick<LeakAtVisits, "shares">,
): DisplayTable {
  const { labels, horizons, confidence = 0.95, notes = [], ...rest } = heading;
  const ways = Object.keys(names) as VisitCounting[];
  const rows = horizons.flatMap((years) =>
    [1, 0].flatMap((code) =>
      ways.filter((way) => years <= shownTo(way)).flatMap((way) =>
        shares[way].groups.filter(({ group }) => Number(group) === code).map((one): TableRow => {
          const k = one.time.findIndex((time) => Math.abs(time - years) < 1e-9);
          // no limits make what is biased right
          const limited = way !== "as-seen";
          return {
            years,
            group: code === 1 ? labels.repair : labels.replacement,
            way: names[way],
            share: one.proportion[k] ?? null,
            lower: limited ? one.lower[k] ?? null : null,
            upper: limited ? one.upper[k] ?? null : null,
          };
        })
      )
    )
  );
  return table({
    ...rest,
    notes: [
      ...notes,
      "As seen: biased, because patients who feel unwell are looked at sooner; no limits are given.",
      soundTo("on-schedule").words,
      soundTo("by-visit-rate").words,
    ],
    columns: [
      { key: "years", label: "Years", kind: "number" },
      { key: "group", label: "Group", kind: "text" },
      { key: "way", label: "Visits", kind: "text" },
      { key: "share", label: "2+ or worse", kind: "percent" },
      { key: "lower", label: `${levelText(confidence)} from`, kind: "percent" },
      { key: "upper", label: "to", kind: "percent" },
    ],
    rows,
  });
}
