import * as mitral from "mitral";
import {
  chanceOfRepair,
  type CohortParameters,
  daysPerYear,
  discovery,
  drawVisits,
  outcomes,
} from "../../../lib/simulate/mechanism/mod.ts";
import { drawSeries, lastContactDay } from "../../../lib/simulate/rows/mod.ts";
import { isEligible } from "../../../lib/simulate/truth/true-answers.ts";
import type { TrueValue } from "../../../lib/simulate/truth/mod.ts";

/** What a model with the operation as its only term tends to, by the name of its quantity. */
export type RatioLimits = Record<string, TrueValue>;

/**
 * Limits of the hazard ratios that are printed, as logarithms: the same models on a great many
 * patients, each followed under both operations for as long as one of the cohort is, weighted by
 * the true overlap. Hazards are not proportional, so the limit depends on how long
 * people are followed.
 */
export function ratioLimits(
  parameters: CohortParameters,
  { seed, n }: { seed: number; n: number },
): RatioLimits {
  const columns = { weight: [] as number[], group: [] as number[] };
  const endpoints = {
    death: { time: [] as number[], event: [] as number[] },
    recurrence: { time: [] as number[], event: [] as number[], kept: [] as number[] },
    reoperation: { time: [] as number[], event: [] as number[] },
  };
  const random = new mitral.SeededRandom(seed);
  for (let drawn = 0; drawn < n; drawn += 1800) {
    for (const patient of drawSeries(random, { n: 1800, parameters })) {
      if (!isEligible(patient)) continue;
      const e = chanceOfRepair(patient, parameters);
      const seen = lastContactDay(patient, parameters);
      for (const arm of ["repair", "replacement"] as const) {
        const outcome = outcomes(patient, arm, parameters);
        const { deathDay, reoperationDay, mrExit } = outcome;
        const add = (id: keyof typeof endpoints, day: number, competing: number) => {
          endpoints[id].time.push(Math.max(0, Math.min(day, competing, seen)) / daysPerYear);
          const first = Math.min(day, competing);
          endpoints[id].event.push(first > seen ? 0 : day <= competing ? 1 : 2);
        };
        columns.weight.push(e * (1 - e));
        columns.group.push(arm === "repair" ? 1 : 0);
        add("death", deathDay, Infinity);
        add("reoperation", reoperationDay, deathDay);
        const atRisk = mrExit < 2;
        endpoints.recurrence.kept.push(atRisk ? 1 : 0);
        const found = atRisk
          ? discovery(outcome, drawVisits(patient, outcome, { until: seen, parameters }), {
            until: seen,
          })
          : { day: Infinity, competingDay: Infinity };
        add("recurrence", found.day, found.competingDay);
      }
    }
  }
  const all = columns.weight.map((_, i) => i);
  const limits: RatioLimits = {};
  const keep = (name: string, one: { hazardRatio: number; lower: number; upper: number }) =>
    limits[name] = {
      estimate: Math.log(one.hazardRatio),
      standardError: Math.log(one.upper / one.lower) / (2 * 1.959964),
    };
  for (const [id, { time, event }] of Object.entries(endpoints)) {
    const rows = id === "recurrence" ? all.filter((i) => endpoints.recurrence.kept[i] === 1) : all;
    const pick = (values: number[]) => Float64Array.from(rows, (i) => values[i]!);
    const data = {
      time: pick(time),
      event: Int32Array.from(pick(event)),
      weight: pick(columns.weight),
      group: Int32Array.from(pick(columns.group)),
    };
    if (id === "death") keep("log hazard ratio, death", mitral.groupHazardRatio(data));
    else {
      for (const one of mitral.twoHazardRatios(data, { cause: 1 })) {
        keep(`log ${one.kind} hazard ratio, ${id}`, one);
      }
    }
  }
  return limits;
}
