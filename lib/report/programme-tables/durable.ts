import { isSmall, publishableKinds } from "../../disclosure/mod.ts";
import {
  type DurableRepair,
  isWithheld,
  type ReferralTable,
  type Withheld,
} from "../../programme/mod.ts";
import { type DisplayTable, type Remark, say, table } from "../show/mod.ts";
import { type Heading, limitCells, limitColumns, wholePercent } from "./rates.ts";

interface Shown {
  smallestCell: number;
  confidence: number;
}

/** Repairs that lasted, by band of volume; nothing where hardly anybody is still watched. */
export function durableTable(
  heading: Heading,
  durable: readonly DurableRepair[],
  { smallestCell, smallestAtRisk, confidence }: Shown & { smallestAtRisk: number },
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

/** Chances of a durable repair for kinds of patients, by band of volume, and what they rest on. */
export function referralTableOf(
  heading: Heading,
  referral: ReferralTable | Withheld,
  { smallestCell, confidence }: Shown,
): DisplayTable | Remark {
  if (isWithheld(referral)) return say(referral.why);
  const { cells } = referral;
  const whole = cells.reduce((sum, { n }) => sum + n, 0);
  const counts = publishableKinds(cells.map(({ n }) => n), { whole, smallestCell });
  return table({
    ...heading,
    columns: [
      { key: "profile", label: "Valve", kind: "text" },
      { key: "band", label: "Surgeon's volume", kind: "text" },
      { key: "n", label: "Operations", kind: "number" },
      ...limitColumns("Repaired and lasting", confidence),
    ],
    rows: cells.map(({ profile, band, n, chance }, k) => ({
      profile: String(profile),
      band: String(band),
      n: counts[k]!,
      ...limitCells(chance, typeof counts[k] === "number" && n > 0),
    })),
  });
}
