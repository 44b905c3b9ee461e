import { isWithheld, type SurgeonRates, type Withheld } from "../../programme/analyses/mod.ts";
import { chanceOutsideFunnel } from "../../programme/repair-rate/mod.ts";
import { type DisplayTable, type Remark, say, table } from "../show/mod.ts";
import { wholePercent } from "./rates.ts";
import type { TableHeading } from "../items/mod.ts";

const numbers = [25, 50, 100, 200, 400];

/**
 * How often a funnel finds a surgeon whose true rate is lower, by the number of operations, and how
 * often it raises a false alarm: of the funnel, not of anybody in it.
 */
export function funnelPowerTable(
  heading: TableHeading,
  rates: SurgeonRates | Withheld,
): DisplayTable | Remark {
  if (isWithheld(rates)) return say(rates.why);
  const { overall } = rates;
  if (!(overall > 0.2)) return say("The rate is too low to ask how often a lower one is found.");
  const chance = (n: number, truth: number) =>
    chanceOutsideFunnel({ target: overall, n, truth, confidence: 0.95 });
  return table({
    ...heading,
    columns: [
      { key: "n", label: "Operations", kind: "number" },
      wholePercent("none", "No different"),
      wholePercent("ten", "10 points lower"),
      wholePercent("twenty", "20 points lower"),
    ],
    rows: numbers.map((n) => ({
      n,
      none: chance(n, overall),
      ten: chance(n, overall - 0.1),
      twenty: chance(n, overall - 0.2),
    })),
  });
}
