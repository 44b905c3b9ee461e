import { boundedCount, isSmall } from "../../disclosure/mod.ts";
import type { Figure } from "../../figures/drawing/mod.ts";
import { funnelFigure } from "../../figures/estimates/mod.ts";
import { distributions, type Limits } from "../../numerics/mod.ts";
import { funnelLimits, type StandardizedUnit } from "../../programme/repair-rate/mod.ts";
import {
  isWithheld,
  type RatesAgainstTarget,
  type SurgeonRates,
  type Withheld,
} from "../../programme/analyses/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { formatNumber, formatP, formatPercent, levelText } from "../../words/mod.ts";
import { type DisplayTable, type Remark, say, table } from "../show/mod.ts";
import { limitCells, limitColumns, shareText } from "./rates.ts";
import type { TableHeading } from "../items/mod.ts";

const notShown = "The study file does not have results of single surgeons shown.";

/**
 * How much surgeons differ once their case mix is allowed for: of all together, none singled out.
 */
export function spreadSentence(rates: SurgeonRates | Withheld): string {
  if (isWithheld(rates)) return rates.why;
  const { units, outside95, outside998, spread } = rates;
  const number = (value: number) => formatNumber(value, { digits: 2 });
  const limits = ({ estimate, lower, upper }: Limits, of = (value: number) => value) =>
    `${number(of(estimate))} (${number(of(lower))} to ${number(of(upper))})`;
  return `${differenceSentence(rates)} The odds of repair of two surgeons, for the same patient, ` +
    `differ by a ratio whose median is ${
      limits(spread, medianRatioOf)
    }; the standard deviation of ` +
    `surgeons' log odds is ${limits(spread)}. Of ${units.length} surgeons or groups of surgeons, ` +
    `${outside95} outside the 95% limits and ${outside998} outside the 99.8% limits; by chance ` +
    "alone 1 in 20 and 1 in 500 would be.";
}

/** The same as numbers: how far apart surgeons are, with limits, and the test of any spread. */
export function spreadTable(
  heading: TableHeading,
  rates: SurgeonRates | Withheld,
  { confidence }: Pick<Study, "confidence">,
): DisplayTable | Remark {
  if (isWithheld(rates)) return say(rates.why);
  const { spread, variation } = rates;
  const number = { kind: "number", digits: 2 } as const;
  const row = (quantity: string, of: (value: number) => number, p: number | null) => ({
    quantity,
    estimate: of(spread.estimate),
    lower: of(spread.lower),
    upper: of(spread.upper),
    p,
  });
  return table({
    ...heading,
    columns: [
      { key: "quantity", label: "Quantity", kind: "text" },
      { key: "estimate", label: "Estimate", ...number },
      { key: "lower", label: `${levelText(confidence)} from`, ...number },
      { key: "upper", label: "to", ...number },
      { key: "p", label: "p of any spread", kind: "pvalue" },
    ],
    rows: [
      row("Median ratio of two surgeons' odds of repair", medianRatioOf, null),
      row("Standard deviation of surgeons' log odds", (value) => value, variation.pValue),
    ],
  });
}

/**
 * Median odds ratio of two surgeons, the higher over the lower, whose log odds have this spread.
 */
function medianRatioOf(spread: number): number {
  return Math.exp(Math.SQRT2 * distributions.normalQuantile(0.75) * spread);
}

/** Whether surgeons differ by more than chance and case mix can explain. */
export function differenceSentence({ variation }: SurgeonRates): string {
  const differ = variation.pValue < 0.05
    ? "Surgeons differ by more than chance and case mix explain"
    : "Whether surgeons differ by more than chance and case mix explain is not settled";
  return `${differ} (${formatP(variation.pValue)}).`;
}

/** What the study file says of showing single surgeons, and why. */
export function surgeonsShownSentence({ programme }: Pick<Study, "programme">): string {
  if (!programme.showSurgeons) return notShown;
  const { showSurgeonsBecause: because } = programme;
  return "Single surgeons are shown, under neutral labels, as the study file asks" +
    `${because === undefined ? "" : ` (${because})`}. Without that, they are not.`;
}

/**
 * Case-mix standardised repair rates in a funnel; a sentence where the plan does not
 * have them shown.
 */
export function surgeonFunnel(
  heading: TableHeading & { tableId?: string },
  rates: SurgeonRates | Withheld,
  study: Pick<Study, "programme" | "smallestCell">,
): Figure | Remark {
  if (isWithheld(rates)) return say(rates.why);
  const caption = [heading.caption, leftOut(rates)].filter(Boolean).join(" ");
  return funnelOf({ ...heading, caption }, { units: rates.units, about: rates.overall }, study);
}

/** That some operations name no surgeon; how many would tell the few among them. */
function leftOut({ unknown }: Pick<SurgeonRates, "unknown">): string {
  return unknown > 0 ? "Operations without a recorded surgeon are left out." : "";
}

/** The same among the patients of a target of the plan, with limits about that target. */
export function targetFunnel(
  heading: Pick<TableHeading, "id">,
  rates: RatesAgainstTarget | Withheld,
  study: Pick<Study, "programme" | "smallestCell">,
): Figure | Remark {
  if (isWithheld(rates)) return say(rates.why);
  const { target: { label, value, source }, units } = rates;
  return funnelOf(
    {
      ...heading,
      title: `${label}, by surgeon, beside the aim`,
      caption: `Standardised to the case mix of these patients; limits about the aim of ${
        formatPercent(value, { digits: 0 })
      } (${source}).`,
    },
    { units, about: value, name: "Aim" },
    study,
  );
}

function funnelOf(
  heading: TableHeading & { tableId?: string },
  { units, about, name }: { units: readonly StandardizedUnit[]; about: number; name?: string },
  { programme, smallestCell }: Pick<Study, "programme" | "smallestCell">,
): Figure | Remark {
  if (!programme.showSurgeons) return say(notShown);
  const shown = units.filter(({ n, observed }) =>
    n >= smallestCell && !isSmall(observed, smallestCell) && !isSmall(n - observed, smallestCell)
  );
  if (shown.length === 0) return say("Every surgeon has too few operations to be shown.");
  const most = Math.ceil(1.06 * Math.max(...shown.map(({ n }) => n)));
  // every number of operations, or so many of them that a curve shows no corner
  const count = Math.min(most - 9, 500);
  const n = Float64Array.from(
    { length: count },
    (_, k) => Math.round(10 + (most - 10) * k / Math.max(1, count - 1)),
  );
  const limit = (confidence: number, label: string) => ({
    label,
    n,
    ...funnelLimits({ target: about, n, confidence }),
  });
  return funnelFigure({
    ...heading,
    points: shown.map(({ unit, n, rate, pValue }) => ({
      label: String(unit),
      n,
      proportion: rate.estimate,
      named: pValue < 0.05,
      outside: pValue < 0.002,
    })),
    overall: about,
    ...(name !== undefined && { overallName: name }),
    limits: [limit(0.95, "95%"), limit(0.998, "99.8%")],
    yLabel: "Repaired, case mix allowed for",
    nLabel: "Operations",
    smallestCell,
  });
}

/** The same as a table, beside what is likeliest given how much surgeons differ. */
export function surgeonTable(
  heading: TableHeading,
  rates: SurgeonRates | Withheld,
  { programme, smallestCell, confidence }: Pick<Study, "programme" | "smallestCell" | "confidence">,
): DisplayTable | Remark {
  if (isWithheld(rates)) return say(rates.why);
  if (!programme.showSurgeons) return say(notShown);
  return table({
    ...heading,
    columns: [
      { key: "unit", label: "Surgeon", kind: "text" },
      { key: "n", label: "Operations", kind: "number" },
      ...limitColumns("Repaired", confidence),
      { key: "shrunken", label: `Drawn together, ${levelText(confidence)}`, kind: "text" },
    ],
    rows: rates.units.map(({ unit, n, observed, rate, shrunken }) => {
      const shown = !isSmall(n, smallestCell) && !isSmall(observed, smallestCell) &&
        !isSmall(n - observed, smallestCell);
      return {
        unit: String(unit),
        n: boundedCount(n, smallestCell),
        ...limitCells(rate, shown),
        shrunken: shown ? shareText(shrunken) : null,
      };
    }),
  });
}
