import {
  checkNumber,
  checkWhole,
  DataError,
  type FollowUp,
  followUpColumns,
  TIE_TOLERANCE,
} from "../../numerics/mod.ts";

/** What is known of each row at a horizon, and how much it counts. */
export interface KnownAt {
  n: number;
  /** 1 where the cause in question came by the horizon. */
  outcome: Uint8Array;
  /** Case weight over the chance of not having been censored before; 0 where it was. */
  weight: Float64Array;
  /** Sum of the case weights. */
  total: number;
}

/**
 * Weights that let those whose state at a horizon is known stand for those censored before it.
 *
 * A row counts 1/G(T-) where an event of any cause came at T by the horizon, 1/G(at) where its time
 * is later, and not at all where it was censored by then; G is the Kaplan-Meier curve of being
 * uncensored. Events come before censorings at one time: G loses the factor 1 - c/(Y - d), d events
 * of any cause among the Y at risk. So the weights average 1 and the weighted share with the event
 * is the Kaplan-Meier (Aalen-Johansen) estimate.
 *
 * @throws {DataError} for a bad column, cause or horizon, a horizon past the last observed time
 * with somebody censored, and where nobody's outcome is known.
 * @see Graf, Schmoor, Sauerbrei & Schumacher (1999) Stat Med 18:2529-2545.
 */
export function knownAt(
  { time: given, event: code, weight: own }: FollowUp,
  options: { at: number; cause?: number },
): KnownAt {
  const { at } = options;
  checkNumber("at", at, (t) => t > 0 && t < Infinity, "a finite number > 0");
  const cause = checkWhole("cause", options.cause ?? 1, 1);
  const follow = { time: given, event: code, ...(own && { weight: own }) };
  const { n, time, event, order, weight: w } = followUpColumns(follow, { causes: true });
  const last = time[order[n - 1]!]!;
  const limit = at + TIE_TOLERANCE * last;
  if (at > last + TIE_TOLERANCE * last && event.includes(0)) {
    throw new DataError("at", `at most the last observed time, ${last}`, at);
  }
  let total = 0;
  for (let i = 0; i < n; i++) total += w?.[i] ?? 1;
  const outcome = new Uint8Array(n);
  const weight = new Float64Array(n);
  let uncensored = 1;
  let atRisk = total;
  let i = 0;
  while (i < n && time[order[i]!]! <= limit) {
    const start = i;
    const t = time[order[i]!]!;
    let events = 0;
    let censored = 0;
    for (; i < n && time[order[i]!] === t; i++) {
      const row = order[i]!;
      if (event[row] === 0) censored += w?.[row] ?? 1;
      else events += w?.[row] ?? 1;
    }
    for (let k = start; k < i; k++) {
      const row = order[k]!;
      if (event[row] === 0) continue;
      weight[row] = (w?.[row] ?? 1) / uncensored;
      outcome[row] = event[row] === cause ? 1 : 0;
    }
    if (censored > 0) uncensored *= 1 - censored / (atRisk - events);
    atRisk -= events + censored;
  }
  for (; i < n; i++) weight[order[i]!] = (w?.[order[i]!] ?? 1) / uncensored;
  return { n, outcome, weight, total };
}
