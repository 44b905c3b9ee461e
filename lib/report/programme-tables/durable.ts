import { isSmall } from "../../disclosure/mod.ts";
import type { DurableRepair } from "../../programme/durable/mod.ts";
import { type DisplayTable, type Remark, say, table } from "../show/mod.ts";
import { limitCells, limitColumns, type ShownFrom, wholePercent } from "./rates.ts";
import type { TableHeading } from "../items/mod.ts";

/** Repairs that lasted, by band of volume; nothing where hardly anybody is still watched. */
export function durableTable(
  heading: TableHeading,
  durable: readonly DurableRepair[],
  { smallestCell, smallestAtRisk, confidence }: ShownFrom & { smallestAtRisk: number },
): DisplayTable | Remark {
  const rows = durable.filter(({ n, atRisk }) => n >= smallestCell && atRisk >= smallestAtRisk);
  if (rows.length === 0) return say("Too few repairs are watched for as long as the plan's years.");
  return table({
    ...heading,
    columns: [
      { key: "group", label: "Surgeon's volume", kind: "text" },
      { key: "time", label: "Years", kind: "number" },
      ...limitColumns("Repaired and lasting", confidence),
      wholePercent("notRepaired", "Not repaired"),
      wholePercent("failed", "Repaired, failed since"),
    ],
    rows: rows.map((row) => {
      const { group, time, n, notRepaired, failed } = row;
      const few = ({ estimate }: { estimate: number }) =>
        isSmall(Math.round(n * estimate), smallestCell);
      const shown = !few(notRepaired);
      return {
        group: group === "all" ? "All surgeons" : String(group),
        time,
        ...limitCells(row.durable, shown && !few(failed)),
        notRepaired: shown ? notRepaired.estimate : null,
        failed: few(failed) ? null : failed.estimate,
      };
    }),
  });
}
