import {
  checkConfidence,
  checkDataColumns,
  FOLLOW_UP,
  type FollowUp,
  type FollowUpColumns,
  followUpColumns,
  groupColumn,
  type Labels,
  numberColumn,
  type Numbers,
  valuesAt,
} from "../../numerics/mod.ts";
import { aalenJohansen, deltaErrors, jackknifeErrors } from "./aalen-johansen.ts";
import { causesOf, causeTable, rowAt } from "./cause-table.ts";
import {
  checkInterval,
  fewEventsIncidence,
  type IncidenceInterval,
  limitQuantile,
  limitsAlong,
  type StepLimits,
} from "./incidence-limits.ts";
import { limitsAlongArm } from "./arm-limits.ts";

/** Options of {@link cumulativeIncidence}. */
export interface IncidenceOptions {
  /** Level of the pointwise limits (default 0.95). */
  confidence?: number;
  /**
   * How the limits are formed (default "log-log"); "few-events" for limits that stay honest where
   * few events or none were seen (see {@link fewEventsIncidence}); "as-compared" for those of
   * `incidenceDifference`: log-log, and where effective events are fewer than twenty,
   * of few events.
   */
  interval?: IncidenceInterval | "few-events" | "as-compared";
  /** The causes to report, where some may not occur in these rows (default: those that occur). */
  causes?: ArrayLike<number>;
}

/** Values of one cause at the times asked for. */
export interface IncidenceAt {
  /** Times, in the unit given. */
  time: Float64Array;
  /** Probability of having had the event by each time, 0 to 1. */
  incidence: Float64Array;
  /** Standard errors of the estimates. */
  standardError: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
  /** Weight at risk just before each time. */
  atRisk: Float64Array;
  /** With limits "as-compared": 1 where they are those of few events. */
  few?: Uint8Array;
}

/** One cause of a {@link CumulativeIncidence}; columns run along its `time`. */
export interface CauseIncidence {
  /** Code of the event: 1, 2, ... */
  cause: number;
  /** Rows with this event. */
  events: number;
  /** Probability of having had the event by each time, 0 to 1. */
  incidence: Float64Array;
  /** Standard errors of the estimates. */
  standardError: Float64Array;
  /** Lower limits. */
  lower: Float64Array;
  /** Upper limits. */
  upper: Float64Array;
  /** Step values; NaN past the last observed time, unless nobody was event-free by then. */
  at(times: Numbers): IncidenceAt;
}

/** Cumulative incidence of every cause, one row a distinct observed time, ascending. */
export interface CumulativeIncidence {
  /** Rows. */
  n: number;
  /** Times, in the unit given. */
  time: Float64Array;
  /** Weight at risk just before each time (rows, where there are no weights). */
  atRisk: Float64Array;
  /** Weight censored at each time. */
  censored: Float64Array;
  /** Probability of no event of any cause; with the incidences it adds up to 1. */
  eventFree: Float64Array;
  /** One entry a cause, in the order of the codes. */
  causes: CauseIncidence[];
}

/**
 * Cumulative incidence of each of several competing causes (Aalen-Johansen).
 *
 * F_k(t) = sum over t_j <= t of S(t_j-) d_kj / n_j, with S the event-free probability over all
 * causes. It is the proportion who have had event k by t in a world where the other events are
 * allowed to happen; one minus a Kaplan-Meier that censors them is not.
 *
 * Standard errors: the delta method (Marubini and Valsecchi 1995), which without delayed entry is
 * the infinitesimal jackknife. With weights or `cluster` the jackknife itself: each row's influence
 * is weighted, so the error is robust to weights that are not counts, and the influences within a
 * cluster (matched pair, one patient's several rows) are added before they are squared. Weights are
 * taken as known: error in an estimated propensity score is not in it.
 *
 * Limits: pointwise; log-log on F by default. [0, 0] before the first event of the cause, which is
 * no certainty: ask for "few-events" there. NaN where F is 1.
 * Ties: events, then censorings, then entries. Times within 1e-9 of the largest are one time.
 * Delayed entry: at risk on (entry, time].
 * Cost: O(n log n + (n + m) causes), m distinct times.
 *
 * @example The proportion reoperated by five years, death competing
 * ```ts
 * import { cumulativeIncidence } from "mitral";
 * const { causes } = cumulativeIncidence({ time: [1, 2, 3, 6], event: [1, 2, 0, 0] });
 * causes[0].at([5]).incidence; // [0.25]
 * ```
 * @throws {DataError} on a value out of range, or an event not among `causes`.
 * @see Aalen and Johansen (1978) Scand J Stat 5:141-150. Marubini and Valsecchi (1995) Analysing
 * Survival Data, chapter 10. Limits: Choudhury (2002) Stat Med 21:1129-1144.
 */
export function cumulativeIncidence(
  data: FollowUp & { cluster?: Labels },
  options: IncidenceOptions = {},
): CumulativeIncidence {
  checkDataColumns("cumulativeIncidence", data, [...FOLLOW_UP, "cluster"]);
  const confidence = checkConfidence(options.confidence);
  const interval = options.interval === "few-events" || options.interval === "as-compared"
    ? options.interval
    : checkInterval(options.interval);
  const columns = followUpColumns(data, { causes: true });
  const causes = causesOf(columns.event, options.causes);
  const cluster = data.cluster === undefined
    ? undefined
    : groupColumn("cluster", data.cluster, columns.n);
  const table = causeTable(columns, causes);
  const estimate = aalenJohansen(table);
  const errors = cluster || columns.weight
    ? jackknifeErrors(
      columns,
      table,
      estimate,
      cluster && { codes: cluster.codes, count: cluster.labels.length },
    )
    : deltaErrors(table, estimate);
  const z = limitQuantile(confidence);
  const m = table.time.length;
  const rows = new Int32Array(causes.length);
  for (let i = 0; i < columns.n; i++) if (table.causeIndex[i]! >= 0) rows[table.causeIndex[i]!]!++;
  const atRiskAt = weightAtRisk(columns);

  return {
    n: columns.n,
    time: table.time,
    atRisk: table.atRisk,
    censored: table.censored,
    eventFree: estimate.eventFree,
    causes: causes.map((cause, k) => {
      const incidence = estimate.incidence[k]!;
      const standardError = errors[k]!;
      const steps = { time: table.time, incidence, standardError };
      // made when first asked for: of causes that only compete nobody does
      let made: StepLimits & { few?: Uint8Array } | undefined;
      const limits = (): StepLimits & { few?: Uint8Array } =>
        made ??= interval === "few-events"
          ? fewEventsIncidence(columns, cause, steps, confidence)
          : interval === "as-compared"
          ? limitsAlongArm(columns, cause, steps, confidence)
          : limitsAlong(steps, z, interval);
      function at(times: Numbers): IncidenceAt {
        const time = Float64Array.from(numberColumn("times", times, { min: 0 }));
        const over = estimate.eventFree[m - 1] === 0;
        const { lower, upper, atStart, past, few } = limits();
        const step = (values: Float64Array, start: number, end: number) =>
          time.map((t) => {
            const j = rowAt(table.time, t);
            if (j < 0) return start;
            return t > table.time[m - 1]! && !over ? end : values[j]!;
          });
        return {
          time,
          incidence: step(incidence, 0, NaN),
          standardError: step(standardError, 0, NaN),
          lower: step(lower, atStart[0], past[0]),
          upper: step(upper, atStart[1], past[1]),
          atRisk: time.map(atRiskAt),
          ...(few && {
            few: Uint8Array.from(time, (t) => few[rowAt(table.time, t)] ?? 1),
          }),
        };
      }
      return {
        ...{ cause, events: rows[k]!, incidence, standardError },
        get lower() {
          return limits().lower;
        },
        get upper() {
          return limits().upper;
        },
        at,
      };
    }),
  };
}

/**
 * {@link cumulativeIncidence} within each group, groups in label order, all with the same causes.
 *
 * @throws {DataError} as cumulativeIncidence; rows are counted within the group.
 */
export function cumulativeIncidenceByGroup(
  data: FollowUp & { group: Labels; cluster?: Labels },
  options: IncidenceOptions = {},
): ({ group: string | number } & CumulativeIncidence)[] {
  checkDataColumns("cumulativeIncidenceByGroup", data, [...FOLLOW_UP, "group", "cluster"]);
  const columns = followUpColumns(data, { causes: true });
  const group = groupColumn("group", data.group, columns.n);
  const causes = causesOf(columns.event, options.causes);
  return group.labels.map((label, code) => {
    const rows = rowsOf(group.codes, code);
    return {
      group: label,
      ...cumulativeIncidence(
        { ...subset(columns, rows), ...(data.cluster && { cluster: pick(data.cluster, rows) }) },
        { ...options, causes },
      ),
    };
  });
}

/** The rows of one group, ascending. */
export function rowsOf(codes: Int32Array, code: number): Uint32Array {
  let count = 0;
  for (let i = 0; i < codes.length; i++) if (codes[i] === code) count++;
  const rows = new Uint32Array(count);
  for (let i = 0, place = 0; i < codes.length; i++) if (codes[i] === code) rows[place++] = i;
  return rows;
}

/** The follow-up of some rows. */
export function subset(columns: FollowUpColumns, rows: Uint32Array): FollowUp {
  const from = (values: Numbers) => valuesAt(values, rows);
  return {
    time: from(columns.time),
    event: from(columns.event),
    ...(columns.entry && { entry: from(columns.entry) }),
    ...(columns.weight && { weight: from(columns.weight) }),
  };
}

function pick(labels: Labels, rows: Uint32Array): (string | number)[] {
  return Array.from(rows, (row) => labels[row]!);
}

/** Weight at risk just before t: those with entry < t <= time. */
export function weightAtRisk(
  { n, time, entry, weight, order, entryOrder }: FollowUpColumns,
): (t: number) => number {
  const exits = sortedTail(time, order, weight);
  const entries = entry && entryOrder && sortedTail(entry, entryOrder, weight);
  return (t: number) => {
    const from = lowerBound(exits.values, t);
    if (!entries) return exits.tail[from] ?? 0;
    const late = lowerBound(entries.values, t);
    if (from === n) return 0;
    return exits.tail[from]! - (entries.tail[late] ?? 0);
  };
}

/** Values in order, and the weight from each place to the end. */
function sortedTail(values: Float64Array, order: Uint32Array, weight?: Float64Array) {
  const n = values.length;
  const sorted = new Float64Array(n);
  const tail = new Float64Array(n + 1);
  for (let place = n - 1; place >= 0; place--) {
    const row = order[place]!;
    sorted[place] = values[row]!;
    tail[place] = tail[place + 1]! + (weight ? weight[row]! : 1);
  }
  return { values: sorted, tail };
}

function lowerBound(values: Float64Array, t: number): number {
  let low = 0;
  let high = values.length;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (values[middle]! < t) low = middle + 1;
    else high = middle;
  }
  return low;
}
