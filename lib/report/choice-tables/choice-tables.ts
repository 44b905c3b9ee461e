import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import type { ImputedPanel } from "../../figures/patients/mod.ts";
import type { CompletedSets } from "../../missing/study/mod.ts";
import { observedAgainstImputed } from "../../missing/look/mod.ts";
import type { TippingPoint } from "../../missing/tipping/mod.ts";
import type { ConfounderYardstick, TippingMap } from "../../sensitivity/bias/mod.ts";
import type { SpecificationCurve } from "../../sensitivity/paths/mod.ts";
import type { StudyInstrument } from "../../sensitivity/surgeon/mod.ts";
import { formatEstimate, formatNumber, formatPercent } from "../../words/mod.ts";
import { type DisplayTable, table } from "../show/mod.ts";
import { hundredfold, limitColumns } from "../pair-tables/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/** Imputed numbers as `imputationFigure` takes them; empty where no number was imputed. */
export function imputedPanels({ imputed, analysis }: CompletedSets): ImputedPanel[] {
  if (!imputed) return [];
  const own = analysis(0).study.columns;
  return observedAgainstImputed(imputed).filter(({ kind }) => kind === "number")
    .map(({ name, known, imputed: drawn }) => {
      const entry = dictionaryColumn("patients", name, own);
      const unit = entry?.unit ? `, ${entry.unit}` : "";
      return {
        label: `${entry?.label ?? name}${unit}`,
        known: known.quartiles,
        drawn: drawn.quartiles,
        traces: imputed.traces[name]!.map(({ mean }) => mean),
      };
    });
}

/** The imputed number that most patients lack: its spread is a step for `tippingPoint`. */
export function mostMissing(
  { imputed, analysis }: CompletedSets,
): { column: string; label: string; unit: string; spread: number } | undefined {
  const [most] = imputed
    ? observedAgainstImputed(imputed).filter(({ kind }) => kind === "number")
      .sort((a, b) => b.imputed.n - a.imputed.n)
    : [];
  if (!most) return undefined;
  const entry = dictionaryColumn("patients", most.name, analysis(0).study.columns);
  const spread = Number((most.known.spread / 2).toPrecision(1));
  return { column: most.name, label: entry?.label ?? most.name, unit: entry?.unit ?? "", spread };
}

/** The difference at each move of values that are not known, one line each. */
export function tippingTable(
  heading: TableHeading & { unit: string; confidence?: number },
  { steps }: TippingPoint,
): DisplayTable {
  const { unit, confidence = 0.95, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "by", label: "Moved by", unit, kind: "number" },
      ...limitColumns(confidence),
    ],
    rows: steps.map(({ by, difference }) => ({ by, ...hundredfold(difference) })),
  });
}

/**
 * Between what all paths lie, then how far each choice moves the answer, the one that moves
 * it most first.
 */
export function influenceTable(heading: TableHeading, curve: SpecificationCurve): DisplayTable {
  const { lowest, highest } = curve.estimates;
  const text = (value: number) => formatNumber(100 * value, { digits: 1 });
  const all = {
    choice: `All ${curve.paths.length} paths`,
    lowest: text(lowest),
    highest: text(highest),
    spread: 100 * (highest - lowest),
    share: null,
  };
  return table({
    ...heading,
    columns: [
      { key: "choice", label: "Choice", kind: "text" },
      { key: "lowest", label: "Lowest with", kind: "text" },
      { key: "highest", label: "Highest with", kind: "text" },
      { key: "spread", label: "Moves by", unit: "per 100", kind: "number", digits: 1 },
      { key: "share", label: "Share of the spread", kind: "percent", digits: 0 },
    ],
    rows: [
      all,
      ...curve.influence.filter(({ lowest, highest }) => lowest !== highest)
        .map(({ label, lowest, highest, spread, share }) => (
          { choice: label, lowest, highest, spread: 100 * spread, share }
        )),
    ],
  });
}

/**
 * What all paths say, written from their numbers by rule; to be read after the outcome and a colon.
 */
export function pathsSentence(curve: SpecificationCurve): string {
  const { paths, shares, estimates, smallestDifference, influence, failed } = curve;
  const text = (value: number) => formatNumber(100 * value, { digits: 1 });
  const [first] = influence;
  const sides = shares.above === 1 || shares.below === 1
    ? `all on the same side of zero`
    : `${formatPercent(shares.above, { digits: 0 })} above zero and ` +
      `${formatPercent(shares.below, { digits: 0 })} below`;
  const clear = shareOf(shares.clearlyAbove + shares.clearlyBelow, [
    "range leaves",
    "ranges leave",
  ]);
  const matter = shareOf(shares.mattersAbove + shares.mattersBelow, [
    "estimate reaches",
    "estimates reach",
  ]);
  return `over ${paths.length} defensible analyses the difference is from ` +
    `${text(estimates.lowest)} to ${text(estimates.highest)} per 100, ${sides}; ` +
    `${clear} zero out, and ${matter} ${text(smallestDifference)} per 100.` +
    (first ? ` The choice that moves it most: ${first.label.toLowerCase()}.` : "") +
    (failed.length > 0 ? ` ${failed.length} paths gave no answer.` : "");
}

/** "no range leaves", "every range leaves", "84% of the ranges leave" */
function shareOf(share: number, [one, several]: readonly [string, string]): string {
  if (share === 0) return `no ${one}`;
  return share === 1 ? `every ${one}` : `${formatPercent(share, { digits: 0 })} of the ${several}`;
}

/** What leaving each measured covariate out does, the strongest first. */
export function yardstickTable(
  heading: TableHeading & { most?: number },
  { measured }: ConfounderYardstick,
): DisplayTable {
  const { most = 8, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "label", label: "Left out", kind: "text" },
      { key: "moved", label: "Difference moves by", unit: "per 100", kind: "number", digits: 2 },
      { key: "asStrongAs", label: "As an E-value", kind: "number", digits: 2 },
    ],
    rows: measured.slice(0, most).map(({ label, moved, asStrongAs }) => (
      { label, moved: 100 * moved, asStrongAs: asStrongAs ?? null }
    )),
  });
}

/** How strong an unmeasured confounder would have to be, in the measure of the measured ones. */
export function yardstickSentence(yardstick: ConfounderYardstick): string {
  const { measured, timesStrongest, timesStrongestForLimit } = yardstick;
  if (measured.length === 0) {
    return "The plan adjusts for one covariate alone: without it nothing would be adjusted for.";
  }
  if (!(Math.abs(measured[0]!.moved) > 0)) return "Leaving a covariate out moves nothing.";
  const times = (value: number) => `${formatNumber(value, { digits: 1 })} times`;
  return `The strongest measured covariate is ${measured[0]!.label.toLowerCase()}. To move the ` +
    `estimate to zero an unmeasured one would have to move it ${times(timesStrongest)} as far` +
    (timesStrongestForLimit > 0
      ? `, and the nearer limit ${times(timesStrongestForLimit)}.`
      : "; the range includes zero as it is.");
}

/** What would have to be true of patients whose state is not known. */
export function unknownSentence(
  { groups, ends, turnsAlike }: TippingMap,
  labels: readonly [first: string, second: string],
): string {
  const text = (value: number) => formatNumber(100 * value, { digits: 1 });
  const unknown = groups.map(({ unknown, total }, k) =>
    `${formatPercent(unknown / total, { digits: 0 })} (${labels[k]})`
  );
  const alike = turnsAlike === null
    ? "If the share were the same in both groups, the difference would keep its sign."
    : `It is zero where ${formatPercent(turnsAlike, { digits: 0 })} of them had it in both groups.`;
  return `Not known: ${unknown.join(", ")}. Whatever is true of these patients, the difference ` +
    `lies from ${text(ends.lowest)} to ${text(ends.highest)} per 100. ${alike}`;
}

/** The instrument's answer, or the words why not. */
export function instrumentSentence(found: StudyInstrument): string {
  if ("none" in found) return `The preference of the surgeon is no instrument here. ${found.none}`;
  const { strength, surgeons, difference, against } = found;
  const answer = formatEstimate({
    estimate: 100 * difference.estimate,
    lower: 100 * difference.lower,
    upper: 100 * difference.upper,
  }, { digits: 1 });
  const measured = `${surgeons} surgeons, F ${formatNumber(strength.fStatistic, { digits: 1 })}`;
  return against.length > 0
    ? `The preference of the surgeon is no instrument here (${measured}). ${against.join(" ")}`
    : `By the preference of the surgeon (${measured}) the difference is ${answer} per 100.`;
}
