import type { Figure } from "../../figures/drawing/mod.ts";
import { monitoringFigure } from "../../figures/programme/mod.ts";
import {
  isWithheld,
  type ProgrammeMonitoring,
  type Withheld,
} from "../../programme/analyses/mod.ts";
import { formatNumber, formatPercent } from "../../words/mod.ts";
import { type Remark, say } from "../show/mod.ts";
import type { TableHeading } from "../items/mod.ts";

/** The charts as means over blocks of operations, so that no single operation can be read off. */
export function programmeMonitoringFigure(
  heading: TableHeading,
  monitoring: ProgrammeMonitoring | Withheld,
): Figure | Remark {
  if (isWithheld(monitoring)) return say(monitoring.why);
  const { at, excess, worse, better, signals } = monitoring;
  const number = (value: number) => formatNumber(value, { digits: 0 });
  return monitoringFigure({
    ...heading,
    caption:
      `${heading.caption} Expected by a score made from the ${number(monitoring.learntFrom)} ` +
      `operations before ${String(monitoring.from)} alone. Limits: ${
        number(monitoring.runLength)
      } ` +
      "operations between two false alarms, on average, for these patients (Markov chain).",
    at,
    excess,
    worse,
    better,
    signals: signals.filter((signal) => signal.at >= at[0]! && signal.at <= at.at(-1)!),
    xLabel: "Year of operation",
    xFormat: (year) => String(Math.floor(year)),
    events: "Failures",
  });
}

/**
 * What was observed beside what was expected, which signals there were, and what a signal means.
 */
export function monitoringSentence(monitoring: ProgrammeMonitoring | Withheld): string {
  if (isWithheld(monitoring)) return monitoring.why;
  const { from, observed, expected, signals, runLength, charted } = monitoring;
  const whole = (value: number) => formatNumber(value, { digits: 0 });
  const years = (kind: "worse" | "better") =>
    [
      ...new Set(
        signals.filter((signal) => signal.kind === kind).map(({ at }) => String(Math.floor(at))),
      ),
    ].join(", ");
  const [worse, better] = [years("worse"), years("better")];
  const found = [
    worse && `deterioration was signalled in ${worse}`,
    better && `improvement was signalled in ${better}`,
  ].filter(Boolean).join(" and ") || "neither chart signalled";
  // time to a false alarm is nearly exponential
  const byChance = 1 - Math.exp(-charted / runLength);
  return `From ${String(from)} on, ${whole(observed)} failures were observed and ${
    formatNumber(expected, { digits: 1 })
  } ` +
    `expected of such patients; ${found}. Each chart would signal by chance once in ` +
    `${whole(runLength)} operations on average: over the ${
      whole(charted)
    } charted, a chance of about ` +
    `${
      formatPercent(byChance, { digits: 0 })
    } for each where nothing changed. A signal asks for a ` +
    "look at what changed (patients, records, methods); it does not say that anybody did wrong, and no " +
    "signal does not say that nothing changed.";
}
