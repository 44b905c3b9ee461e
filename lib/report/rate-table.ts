import type { EarlyEvent } from "../cohort/mod.ts";
import type { LinearisedRate, RatePeriod } from "../regression/mod.ts";
import { isSmall, publishableShare } from "./disclosure.ts";
import { formatNumber } from "./format.ts";
import { boundedCount } from "./result-tables.ts";
import { type DisplayTable, table, type TableInput, type TableRow } from "./table.ts";

type Heading = Pick<TableInput, "id" | "title" | "caption" | "notes" | "status">;
type Labels = { repair: string; replacement: string };

/**
 * Linearised rates of several events, early events apart, two lines an event.
 *
 * A number of events below `smallestCell` prints as a bound, and its rate as the rate of that bound:
 * rate times patient-years would give it away.
 */
export function rateTable(
  heading: Heading & { labels: Labels; smallestCell?: number; confidence?: number },
  lines: readonly { label: string; rates: readonly LinearisedRate[] }[],
): DisplayTable {
  const { labels, smallestCell = 1, confidence = 0.95, ...rest } = heading;
  const rows = lines.flatMap(({ label, rates }) =>
    [1, 0].flatMap((code): TableRow[] => {
      const own = rates.find(({ group }) => Number(group) === code);
      if (!own) return [];
      return [{
        event: label,
        group: code === 1 ? labels.repair : labels.replacement,
        early: boundedCount(own.early.events, smallestCell),
        share: publishableShare(own.early.events, own.patients, smallestCell),
        late: boundedCount(own.late.events, smallestCell),
        exposure: own.late.exposure,
        ...publishableRate(own.late, smallestCell),
        constant: isSmall(own.late.events, smallestCell) ? null : own.constant?.pValue ?? null,
      }];
    })
  );
  return table({
    ...rest,
    columns: [
      { key: "event", label: "Event", kind: "text" },
      { key: "group", label: "Group", kind: "text" },
      { key: "early", label: "Early events", kind: "number" },
      { key: "share", label: "Of patients", kind: "percent" },
      { key: "late", label: "Late events", kind: "number" },
      { key: "exposure", label: "Late patient-years", kind: "number", digits: 0 },
      { key: "rate", label: "Late rate", unit: "per 100 patient-years", kind: "number", digits: 2 },
      { key: "lower", label: `${Math.round(confidence * 100)}% from`, kind: "number", digits: 2 },
      { key: "upper", label: "to", kind: "number", digits: 2 },
      { key: "constant", label: "p, one late rate", kind: "pvalue" },
    ],
    rows,
  });
}

function publishableRate({ events, exposure, rate }: RatePeriod, smallestCell: number): TableRow {
  if (!isSmall(events, smallestCell)) {
    return { rate: rate.estimate, lower: rate.lower, upper: rate.upper };
  }
  const bound = formatNumber(100 * smallestCell / exposure, { digits: 2 });
  return { rate: `< ${bound}`, lower: null, upper: null };
}

/** Early complications, one line each. */
export function earlyEventTable(
  heading: Heading & { labels: Labels; smallestCell?: number },
  events: readonly EarlyEvent[],
): DisplayTable {
  const { labels, smallestCell = 1, ...rest } = heading;
  return table({
    ...rest,
    columns: [
      { key: "event", label: "Event", kind: "text" },
      { key: "repair", label: labels.repair, kind: "number" },
      { key: "repairShare", label: "Share", kind: "percent" },
      { key: "replacement", label: labels.replacement, kind: "number" },
      { key: "replacementShare", label: "Share", kind: "percent" },
      { key: "unknown", label: "Not recorded", kind: "number" },
    ],
    rows: events.map(({ label, repair, replacement, unknown }) => ({
      event: label,
      repair: boundedCount(repair.events, smallestCell),
      repairShare: publishableShare(repair.events, repair.n, smallestCell),
      replacement: boundedCount(replacement.events, smallestCell),
      replacementShare: publishableShare(replacement.events, replacement.n, smallestCell),
      unknown: boundedCount(unknown, smallestCell),
    })),
  });
}
