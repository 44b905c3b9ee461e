import type { DesignedFollowUp } from "../../balance/samples/mod.ts";
import { appliesTo } from "../../cohort/analysis/mod.ts";
import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import type { EndpointFollowUp } from "../../cohort/follow-up/mod.ts";
import { type Analysis, numericColumn } from "../../cohort/model/mod.ts";
import {
  type IncidenceByMeasurement,
  incidenceByMeasurement,
} from "../../competing/subdistribution/mod.ts";
import { publishablePart } from "../../disclosure/mod.ts";
import type { Figure, FigureOptions } from "../../figures/drawing/mod.ts";
import { curveFigure } from "../../figures/estimates/mod.ts";
import { filterRows } from "../../numerics/mod.ts";
import { linearisedRates } from "../../regression/rates/mod.ts";
import type { Threshold } from "../../study/plan/mod.ts";
import { formatNumber, formatPercent, formatTest } from "../../words/mod.ts";
import { type DisplayTable, type GroupLabels, table, type TableHeading } from "../show/mod.ts";

/** A measurement and the incidence over it in both groups. */
export interface OverMeasurement {
  /** Name of the column. */
  column: string;
  /** Name as readers see it. */
  label: string;
  /** With its unit, for an axis. */
  axis: string;
  /** One value a row of the endpoint; NaN where not known or not applicable. */
  x: Float64Array;
  /** The plan's cut-offs of it. */
  thresholds: Threshold[];
  /** Incidence over the measurement. */
  smooth: IncidenceByMeasurement;
  /** Events after day 30 in those of whom it is known, as they may be published. */
  events: { repair: number | string; replacement: number | string };
}

/**
 * The incidence of cause 1 by a time over each measurement that the plan's thresholds cut in two,
 * smooth. Measurements that are known in one group only are not in the result.
 *
 * Events are counted from day 31, as linearised rates count them: with a total beside those, it
 * would tell how few came earlier.
 *
 * @param options.followUp The endpoint, whose rows `data` has.
 * @example
 * ```ts ignore
 * import { followUpOf, openAnalysis, overMeasurements } from "mitral";
 * const { analysis } = await openAnalysis();
 * const followUp = followUpOf(analysis, "death");
 * overMeasurements(analysis, { followUp, data, thresholds, time: 5, smallestCell: 11 });
 * ```
 */
export function overMeasurements(
  analysis: Analysis,
  { followUp, data, thresholds, time, smallestCell, confidence }: {
    followUp: EndpointFollowUp;
    data: DesignedFollowUp;
    thresholds: readonly Threshold[];
    time: number;
    smallestCell: number;
    confidence?: number;
  },
): OverMeasurement[] {
  const columns = [...new Set(thresholds.map(({ column }) => column))];
  return columns.flatMap((column): OverMeasurement[] => {
    const values = numericColumn(analysis, column);
    const applies = appliesTo(analysis, column);
    const x = Float64Array.from(followUp.rows, (row) => applies[row] ? values[row]! : NaN);
    const known = new Set(data.group.filter((_, i) => !Number.isNaN(x[i])));
    if (known.size < 2) return [];
    const { label, unit } = dictionaryColumn("patients", column, analysis.study.columns) ??
      { label: column, unit: "" };
    const late = lateEvents(followUp, (row) => !Number.isNaN(x[row]));
    const all = lateEvents(followUp, () => true);
    return [{
      column,
      label,
      axis: unit ? `${label}, ${unit}` : label,
      x,
      thresholds: thresholds.filter((threshold) => threshold.column === column),
      smooth: incidenceByMeasurement(data, x, { cause: 1, time, confidence }),
      events: {
        repair: publishablePart(late(1), all(1), smallestCell),
        replacement: publishablePart(late(0), all(0), smallestCell),
      },
    }];
  });
}

function lateEvents(
  { time, event, treated: group }: EndpointFollowUp,
  among: (row: number) => boolean,
): (code: number) => number {
  const first = event.map((cause) => cause === 1 ? 1 : 0);
  const rates = linearisedRates(filterRows({ time, event: first, group }, among));
  return (code) => rates.find((one) => one.group === code)?.late.events ?? 0;
}

/** The incidence over one measurement in both groups, with the plan's thresholds marked. */
export function measurementFigure(
  options: FigureOptions & {
    labels: GroupLabels;
    yLabel: string;
  },
  { axis, thresholds, smooth }: OverMeasurement,
): Figure {
  const { labels, ...rest } = options;
  return curveFigure({
    ...rest,
    caption: `${options.caption ?? ""} ${formatTest(smooth.interaction)} for interaction.`
      .trim(),
    xLabel: axis,
    yDomain: [0, 1],
    format: (value) => formatPercent(value, { digits: 0 }),
    curves: [...smooth.curves].reverse().map(({ group, x, incidence, lower, upper }) => ({
      label: Number(group) === 1 ? labels.repair : labels.replacement,
      role: Number(group) === 1 ? "repair" as const : "replacement" as const,
      x,
      estimate: incidence,
      lower,
      upper,
    })),
    thresholds: thresholds.map(({ value }) => ({ at: value, label: `${value}, planned` })),
  });
}

/** The same curves as numbers: a quarter, a half and three quarters of the way along each. */
export function measurementTable(
  heading: TableHeading & {
    labels: GroupLabels;
    /** Left out where another table counts these events, or would with this one tell a few. */
    events?: "shown" | "left out";
  },
  measured: readonly OverMeasurement[],
): DisplayTable {
  const { labels, events: shown = "shown", ...rest } = heading;
  const places = { low: 0.25, middle: 0.5, high: 0.75 };
  return table({
    ...rest,
    columns: [
      { key: "label", label: "Measurement", kind: "text" },
      { key: "group", label: "Group", kind: "text" },
      ...(shown === "shown"
        ? [{ key: "events", label: "Events from day 31", kind: "number" as const }]
        : []),
      { key: "low", label: "Low", kind: "text" },
      { key: "middle", label: "Middle", kind: "text" },
      { key: "high", label: "High", kind: "text" },
      { key: "p", label: "p for interaction", kind: "pvalue" },
    ],
    rows: measured.flatMap(({ label, smooth: { curves, interaction }, events }) =>
      [...curves].reverse().map(({ group, x, incidence }) => ({
        label,
        group: Number(group) === 1 ? labels.repair : labels.replacement,
        ...(shown === "shown"
          ? { events: Number(group) === 1 ? events.repair : events.replacement }
          : {}),
        ...Object.fromEntries(
          Object.entries(places).map(([key, share]) => {
            const k = Math.round(share * (x.length - 1));
            const per100 = formatNumber(100 * incidence[k]!, { digits: 1 });
            return [key, `${per100} at ${formatNumber(x[k]!, { digits: 0 })}`];
          }),
        ),
        p: interaction.tooFew ? formatTest(interaction) : interaction.pValue,
      }))
    ),
  });
}
