import type { EarlyEvent } from "../../cohort/follow-up/mod.ts";
import type { LinearisedRate, RatePeriod } from "../../regression/rates/mod.ts";
import {
  boundedCount,
  publishableKinds,
  publishablePart,
  publishableShare,
} from "../../disclosure/mod.ts";
import { formatNumber, levelText } from "../../words/mod.ts";
import { type DisplayTable, table, type TableRow } from "../show/mod.ts";
import type { GroupLabels, TableHeading } from "../items/mod.ts";

/**
 * Linearised rates of several events, early events apart, two lines an event.
 *
 * A number of events below `smallestCell` prints as a bound, and its rate as the rate
 * of that bound:
 * rate times patient-years would give it away. So does the least of the kinds of one event where
 * the kinds not shown would follow from the others.
 */
export function rateTable(
  heading: TableHeading & { labels: GroupLabels; smallestCell?: number; confidence?: number },
  lines: readonly RateLine[],
): DisplayTable {
  const { labels, smallestCell = 1, confidence = 0.95, ...rest } = heading;
  const rows = lines.flatMap((line) =>
    [1, 0].flatMap((code): TableRow[] => {
      const own = ratesOf(line, code);
      if (!own) return [];
      const early = publishableEvents(line, { lines, code, period: "early", smallestCell });
      const late = publishableEvents(line, { lines, code, period: "late", smallestCell });
      const bounded = typeof early === "string";
      return [{
        event: line.label,
        group: code === 1 ? labels.repair : labels.replacement,
        early,
        share: bounded ? null : publishableShare(own.early.events, own.patients, smallestCell),
        late,
        exposure: own.late.exposure,
        ...publishableRate(own.late, late),
        constant: typeof late === "string" ? null : own.constant?.pValue ?? null,
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
      { key: "lower", label: `${levelText(confidence)} from`, kind: "number", digits: 2 },
      { key: "upper", label: "to", kind: "number", digits: 2 },
      { key: "constant", label: "p, one late rate", kind: "pvalue" },
    ],
    rows,
  });
}

/** One event of a {@link rateTable}. */
export interface RateLine {
  /** Name as readers see it. */
  label: string;
  /** One a group and period. */
  rates: readonly LinearisedRate[];
  /** Name that it is referred to by. */
  id?: string;
  /** The `id` of the event that it is a kind of. */
  within?: string;
  /**
   * Whether early and late events together are told elsewhere, so that either tells of the other.
   */
  totalShown?: boolean;
}

function ratesOf({ rates }: RateLine, code: number): LinearisedRate | undefined {
  return rates.find(({ group }) => Number(group) === code);
}

/** Events of one line, group and period as they may be published beside the other lines. */
function publishableEvents(
  line: RateLine,
  { lines, code, period, smallestCell }: {
    lines: readonly RateLine[];
    code: number;
    period: "early" | "late";
    smallestCell: number;
  },
): number | string {
  const events = (of: RateLine) => ratesOf(of, code)?.[period].events ?? 0;
  const whole = lines.find(({ id }) => id !== undefined && id === line.within);
  if (line.totalShown) {
    const own = ratesOf(line, code);
    const total = (own?.early.events ?? 0) + (own?.late.events ?? 0);
    return publishablePart(events(line), total, smallestCell);
  }
  if (!whole) return boundedCount(events(line), smallestCell);
  const kinds = lines.filter(({ within }) => within === line.within);
  const shown = publishableKinds(kinds.map(events), { whole: events(whole), smallestCell });
  return shown[kinds.indexOf(line)] ?? boundedCount(events(line), smallestCell);
}

function publishableRate({ exposure, rate }: RatePeriod, events: number | string): TableRow {
  if (typeof events === "number") {
    return { rate: rate.estimate, lower: rate.lower, upper: rate.upper };
  }
  const [side, count] = events.split(" ");
  const bound = formatNumber(100 * Number(count) / exposure, { digits: 2 });
  return { rate: `${side} ${bound}`, lower: null, upper: null };
}

/** Early complications, one line each. */
export function earlyEventTable(
  heading: TableHeading & { labels: GroupLabels; smallestCell?: number },
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
