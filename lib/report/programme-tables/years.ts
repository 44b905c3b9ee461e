import { publishableShare } from "../../disclosure/mod.ts";
import type { Figure } from "../../figures/drawing/mod.ts";
import { trendFigure } from "../../figures/programme/mod.ts";
import { isWithheld, type Withheld, type YearlyChange } from "../../programme/analyses/mod.ts";
import type { SegmentedTrend } from "../../programme/trend/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { formatNumber, levelText } from "../../words/mod.ts";
import { type DisplayTable, type Remark, say, table } from "../show/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/** An outcome by year, with changes at the plan's dates alone. */
export function yearsFigure(
  heading: TableHeading & { yLabel: string },
  trend: SegmentedTrend | Withheld,
  { programme, smallestCell }: Pick<Study, "programme" | "smallestCell">,
): Figure | Remark {
  if (isWithheld(trend)) return say(trend.why);
  const dates = programme.dates.filter(({ at }) => trend.changes.some(({ date }) => date === at));
  const years = trend.years.filter(({ n, events }) =>
    n >= smallestCell &&
    (events === undefined || publishableShare(events, n, smallestCell) !== null)
  );
  const low = years.every(({ observed }) => Math.abs(observed.estimate) < 10);
  return trendFigure({
    ...heading,
    years: years.map(({ year, observed }) => ({ year, ...observed })),
    fitted: trend.fitted,
    ...(dates.length > 0 && { unchanged: trend.unchanged, dates }),
    ...(years.some(({ events }) => events === undefined) && {
      format: (value: number) => formatNumber(value, { digits: low ? 1 : 0 }),
    }),
  });
}

/** Change a year, and at each planned date, as odds ratios (or in the unit of an amount). */
export function changesTable(
  heading: TableHeading,
  trends: readonly YearlyChange[],
  { confidence, programme }: Pick<Study, "confidence" | "programme">,
): DisplayTable | Remark {
  const rows = trends.flatMap(({ what, trend, amount }) => {
    if (isWithheld(trend)) return [];
    const shown = (value: number) => amount ? value : Math.exp(value);
    const line = (change: string, term: SegmentedTrend["slope"]) => ({
      what,
      change,
      estimate: shown(term.estimate),
      lower: shown(term.lower),
      upper: shown(term.upper),
      p: term.pValue,
    });
    return [
      line("a year", trend.slope),
      ...trend.changes.flatMap(({ date, step, slope }) => {
        const label = programme.dates.find(({ at }) => at === date)?.label ?? String(date);
        return [
          line(`at once in ${date}: ${label}`, step),
          line(`a year since ${date}, beside before`, slope),
        ];
      }),
    ];
  });
  if (rows.length === 0) return say("No change over the years could be fitted.");
  const number = { kind: "number", digits: 2 } as const;
  return table({
    ...heading,
    columns: [
      { key: "what", label: "What", kind: "text" },
      { key: "change", label: "Change", kind: "text" },
      { key: "estimate", label: "Estimate", ...number },
      { key: "lower", label: `${levelText(confidence)} from`, ...number },
      { key: "upper", label: "to", ...number },
      { key: "p", label: "p", kind: "pvalue" },
    ],
    rows,
  });
}
