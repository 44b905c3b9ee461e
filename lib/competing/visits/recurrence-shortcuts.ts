import { checkDataColumns, numberColumn, type Numbers } from "../../numerics/mod.ts";
import { cumulativeIncidence, incidenceIgnoringCompetingEvents } from "../incidence/mod.ts";
import {
  incidenceBounds,
  intervalCensoredIncidence,
  type VisitOptions,
} from "./interval-censored-incidence.ts";
import { visitColumns, type VisitFollowUp } from "./visit-design.ts";

/** A way of dating a recurrence that only visits can find. */
export type RecurrenceMethod =
  | "interval-censored"
  | "date-found"
  | "midpoint"
  | "last-clear-visit"
  | "ignoring-death"
  | "no-unseen-recurrence"
  | "every-death-unseen-recurrence";

/** One method's incidence at the times asked for. */
export interface RecurrenceEstimate {
  /** How recurrence was dated. */
  method: RecurrenceMethod;
  /** For a table. */
  label: string;
  /** The estimate itself, a shortcut, or a bound. */
  role: "estimate" | "shortcut" | "bound";
  /** Times, in the unit given. */
  time: Float64Array;
  /** Probability of having had the event by each time, 0 to 1. */
  incidence: Float64Array;
}

/**
 * The incidence of recurrence by the interval-censored estimate, by the shortcuts readers know, and
 * at its extremes, side by side.
 *
 * Shortcuts give the recurrence a date and take those in whom none was found as free until the end
 * of follow-up: the date it was found (late), the midpoint between the visits, the last clear visit
 * (early); "ignoring-death" takes the date found and censors deaths. The bounds are
 * {@link incidenceBounds}, each placed by a model of its own that has no death rate after the
 * onset: at late times the lower may lie above the estimate. Values past a method's last observed
 * time are NaN. Where too few die after a finding for the ratio of death rates to be estimated, it
 * is held at 1 and the label says so.
 *
 * @throws {DataError} as {@link intervalCensoredIncidence}.
 */
export function recurrenceShortcuts(
  data: VisitFollowUp,
  options: { times: Numbers } & Pick<VisitOptions, "deathRateRatio">,
): RecurrenceEstimate[] {
  checkDataColumns("recurrenceShortcuts", data, ["lastClear", "found", "time", "death", "weight"]);
  const { lastClear, found, time, death, weight } = visitColumns(data);
  const times = Float64Array.from(numberColumn("times", options.times, { min: 0 }));
  const event = death.map((died, i) => found[i]! < Infinity ? 1 : died === 1 ? 2 : 0);
  const dated = (date: (i: number) => number) => ({
    time: time.map((end, i) => event[i] === 1 ? date(i) : end),
    event,
    weight,
  });
  const competing = (date: (i: number) => number) =>
    cumulativeIncidence(dated(date)).causes[0]!.at(times).incidence;
  const atFinding = (i: number) => found[i]!;
  const { deathRateRatio } = options;
  const asked = intervalCensoredIncidence(data, {
    ...(deathRateRatio !== undefined && { deathRateRatio }),
  });
  const held = deathRateRatio ?? "estimated";
  const isHeld = !asked.converged && held === "estimated";
  const estimate = isHeld ? intervalCensoredIncidence(data, { deathRateRatio: 1 }) : asked;
  const row = (
    method: RecurrenceMethod,
    label: string,
    role: RecurrenceEstimate["role"],
    incidence: Float64Array,
  ): RecurrenceEstimate => ({ method, label, role, time: times, incidence });
  return [
    row(
      "interval-censored",
      isHeld ? "between visits, death rate held" : "between visits, death competing",
      "estimate",
      estimate.at(times).incidence,
    ),
    row("date-found", "on the date it was found", "shortcut", competing(atFinding)),
    row(
      "midpoint",
      "midway between the visits",
      "shortcut",
      competing((i) => (lastClear[i]! + found[i]!) / 2),
    ),
    row(
      "last-clear-visit",
      "at the last clear visit",
      "shortcut",
      competing((i) => lastClear[i]!),
    ),
    row(
      "ignoring-death",
      "on the date it was found, deaths censored",
      "shortcut",
      incidenceIgnoringCompetingEvents(dated(atFinding), { cause: 1 }).at(times).incidence,
    ),
    row(
      "no-unseen-recurrence",
      "assuming that no death hid a recurrence",
      "bound",
      incidenceBounds(data, { unseenDeaths: "free" }).at(times).incidence,
    ),
    row(
      "every-death-unseen-recurrence",
      "assuming that every death hid one not seen",
      "bound",
      incidenceBounds(data, { unseenDeaths: "recurred" }).at(times).incidence,
    ),
  ];
}
