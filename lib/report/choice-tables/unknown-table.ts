import { type TippingMap, tippingMap } from "../../sensitivity/bias/mod.ts";
import type { Numbers } from "../../numerics/mod.ts";
import { formatPercent } from "../../words/mod.ts";
import type { TableHeading } from "../items/mod.ts";
import { type DisplayTable, type GroupLabels, table } from "../show/mod.ts";

/** What may be supposed of patients of whom it is not known: few enough to read at a glance. */
const shares = [0, 0.25, 0.5, 0.75, 1];

/**
 * Which difference there would be if so many of those not known had the event, in one group and in
 * the other: see `tippingMap`.
 *
 * @param data.state 1 with the event by then, 0 known to be without, NaN not known.
 * @param data.treated 1 = repair.
 * @param options.labels Of the groups.
 */
export function unknownTable(
  heading: TableHeading,
  { state, treated }: { state: Numbers; treated: ArrayLike<number> },
  { labels }: { labels: GroupLabels },
): DisplayTable {
  const map: TippingMap = tippingMap({ state, group: Array.from(treated) }, { shares });
  const percent = (share: number) => formatPercent(share, { digits: 0 });
  return table({
    ...heading,
    columns: [
      { key: "share", label: `Of those not known, had it: ${labels.replacement}`, kind: "text" },
      ...shares.map((share, k) => ({
        key: `share${k}`,
        label: `${labels.repair}: ${percent(share)}`,
        unit: "per 100",
        kind: "number" as const,
        digits: 0,
      })),
    ],
    rows: map.difference.map((differences, row) => ({
      share: percent(shares[row]!),
      ...Object.fromEntries(
        Array.from(differences, (difference, k) => [`share${k}`, 100 * difference]),
      ),
    })),
  });
}
