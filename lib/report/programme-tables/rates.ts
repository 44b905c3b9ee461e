import { publishableKinds, publishableShare } from "../../disclosure/mod.ts";
import type { KindRate, TargetRate } from "../../programme/mod.ts";
import { formatPercent, levelText, roundTo } from "../../words/mod.ts";
import { type DisplayTable, table, type TableRow } from "../show/mod.ts";
import type { Limits } from "../../numerics/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/** From which count and at which confidence results are shown. */
export interface ShownFrom {
  /** Smallest count that may be published. */
  smallestCell: number;
  /** Of limits, such as 0.95. */
  confidence: number;
}

/** "74% (71% to 77%)". */
export function shareText(share: Limits): string {
  return `${wholeText(share.estimate)} (${rangeText(share)})`;
}

/** The limits of a share, in whole per cent. */
export function rangeText({ lower, upper }: Limits): string {
  return `${wholeText(lower)} to ${wholeText(upper)}`;
}

/** A share in whole per cent. */
export function wholeText(share: number): string {
  return formatPercent(share, { digits: 0 });
}

/**
 * A column of whole per cent. How many left theatre with a repair follows from the shares of all
 * kinds together; to a tenth they would tell it exactly, and with it how many of those who were to
 * have a replacement did.
 */
export function wholePercent(key: string, label: string) {
  return { key, label, kind: "percent" as const, digits: 0 };
}

/** Columns of a share with its limits. */
export function limitColumns(label: string, confidence: number) {
  return [
    wholePercent("share", label),
    wholePercent("lower", `${levelText(confidence)} from`),
    wholePercent("upper", "to"),
  ];
}

/** A share in those columns; nothing where it may not be told. */
export function limitCells({ estimate, lower, upper }: Limits, shown: boolean): TableRow {
  return shown ? { share: estimate, lower, upper } : { share: null, lower: null, upper: null };
}

/**
 * A share in whole per cent with limits as far from it as they are from the exact one: limits of
 * the exact share would tell it closer than it is printed.
 */
export function inWholePercent({ estimate, lower, upper }: Limits): Limits {
  const whole = roundTo(estimate, 2);
  const within = (limit: number) => Math.min(1, Math.max(0, limit + whole - estimate));
  return { estimate: whole, lower: within(lower), upper: within(upper) };
}

/**
 * Repair rates by kind; kinds of one sort together, and none from which another's few
 * could be told.
 */
export function kindRateTable(
  heading: TableHeading,
  rates: readonly KindRate[],
  { smallestCell, confidence }: ShownFrom,
): DisplayTable {
  const sorts = [...Map.groupBy(rates, ({ by }) => by)];
  return table({
    ...heading,
    columns: [
      { key: "by", label: "By", kind: "text" },
      { key: "kind", label: "Kind", kind: "text" },
      { key: "n", label: "Patients", kind: "number" },
      ...limitColumns("Repaired", confidence),
    ],
    rows: sorts.flatMap(([by, kinds]) => {
      const whole = kinds.reduce((sum, { n }) => sum + n, 0);
      const counts = publishableKinds(kinds.map(({ n }) => n), { whole, smallestCell });
      const hidden = hiddenShares(kinds, smallestCell);
      return kinds.map(({ kind, rate }, k): TableRow => ({
        by,
        kind,
        n: counts[k]!,
        ...limitCells(inWholePercent(rate), !hidden.has(k) && typeof counts[k] === "number"),
      }));
    }),
  });
}

/** Places whose share would tell of few, and one more where a single one could be worked out. */
export function hiddenShares(
  kinds: readonly { n: number; repaired: number }[],
  smallestCell: number,
): Set<number> {
  const hidden = new Set(
    [...kinds.keys()].filter((k) =>
      publishableShare(kinds[k]!.repaired, kinds[k]!.n, smallestCell) === null
    ),
  );
  if (hidden.size === 1 && kinds.length > 1) {
    const others = [...kinds.keys()].filter((k) => !hidden.has(k));
    hidden.add(others.reduce((least, k) => kinds[k]!.n < kinds[least]!.n ? k : least));
  }
  return hidden;
}

/** The programme's rate beside what it aims at, with where the aim comes from. */
export function targetSentence(
  targets: readonly TargetRate[],
  { smallestCell }: { smallestCell: number },
): string {
  const shown = targets.filter(({ n, repaired }) =>
    publishableShare(repaired, n, smallestCell) !== null
  );
  if (shown.length === 0) return "Too few patients of the kind that the plan's aim is about.";
  return shown.map(({ label, target, source, rate: exact }) => {
    const rate = inWholePercent(exact);
    const aim = formatPercent(target, { digits: 0 });
    const place = rate.upper < target ? "below" : rate.lower > target ? "above" : "compatible with";
    return `${label}: ${shareText(rate)}, ${place} the aim of ${aim} (${source}).`;
  }).join(" ");
}
