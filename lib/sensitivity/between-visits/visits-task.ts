import { completedAnalyses } from "../../cohort/analysis/mod.ts";
import { type RecurrenceLookedFor, recurrenceLookedFor } from "../../cohort/follow-up/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { plannedWeights, scoredColumnsOf } from "../../balance/samples/mod.ts";
import { MANY } from "../../numerics/mod.ts";
import { FEW } from "../../competing/incidence/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import {
  bootstrapPlan,
  type PortableStatistic,
  type ReplicateJob,
  replicateJob,
  type WorkerOptions,
} from "../bootstrap/mod.ts";
import type { VisitsProcedure } from "./visits-procedure.ts";

/** What is drawn, and about which horizons. */
export interface VisitsOptions extends Pick<WorkerOptions, "replicates"> {
  /** Default the study's. */
  seed?: number;
  /** Default the study's. */
  horizons?: readonly number[];
  /** Default the study's. */
  estimand?: Study["estimand"];
}

/** Recurrence between visits, ready to be drawn, or why it cannot be. */
type VisitsTask =
  & {
    looked: RecurrenceLookedFor;
    repair: LookedForIn;
    replacement: LookedForIn;
    times: readonly number[];
    beyond: number[];
  }
  & (
    | { reason: "few-found" | "no-visits" }
    | {
      statistic: PortableStatistic;
      plan: { seed: number; replicates: number; parts: 0 };
    }
  );

/** A standard error of so many draws is within a tenth of itself. */
const mostOfMany = 50;

/** Those of one group who were looked at: their places, and in how many recurrence was found. */
interface LookedForIn {
  rows: number[];
  found: number;
}

function ofGroup({ rows: all, treated, found }: RecurrenceLookedFor, code: 0 | 1): LookedForIn {
  const rows = Array.from(all.keys()).filter((i) => treated[i] === code);
  return { rows, found: rows.filter((i) => found[i]! < Infinity).length };
}

/** What {@link recurrenceBetweenVisits} draws. */
export function visitsTask(
  analysis: Analysis,
  study: Study,
  options: VisitsOptions = {},
): VisitsTask {
  const { horizons = study.horizons, replicates = 200, seed = study.seed } = options;
  const looked = recurrenceLookedFor(analysis);
  const [repair, replacement] = [ofGroup(looked, 1), ofGroup(looked, 0)];
  const last = Math.min(lastVisit(looked, repair.rows), lastVisit(looked, replacement.rows));
  const times = horizons.filter((time) => time <= last);
  const beyond = horizons.filter((time) => !(time <= last));
  const asked = { looked, repair, replacement, times, beyond };
  if (Math.min(repair.found, replacement.found) < FEW) return { ...asked, reason: "few-found" };
  if (times.length === 0) return { ...asked, reason: "no-visits" };
  const { rows, lastClear, found, time, death } = looked;
  const input: VisitsProcedure = {
    treated: analysis.treated,
    covariates: scoredColumnsOf(completedAnalyses(analysis), study).map((set) => set.covariates),
    weights: plannedWeights(study, options.estimand ?? study.estimand),
    looked: { rows, lastClear, found, time, death },
    times,
  };
  return {
    ...asked,
    statistic: {
      module: new URL("./visits-procedure.ts", import.meta.url).href,
      name: "visitsStatistic",
      input,
    },
    plan: {
      ...{ seed, parts: 0 },
      replicates: analysis.n > MANY ? Math.min(replicates, mostOfMany) : replicates,
    },
  };
}

/** Its draws as a job that can be done elsewhere; undefined where there are none. */
export function betweenVisitsJob(
  analysis: Analysis,
  study: Study,
  options: VisitsOptions = {},
): ReplicateJob | undefined {
  const task = visitsTask(analysis, study, options);
  if ("reason" in task) return undefined;
  const { seed } = task.plan;
  return replicateJob(analysis.n, task.statistic, { seed, ...bootstrapPlan(task.plan) });
}

function lastVisit({ lastClear, found }: RecurrenceLookedFor, rows: number[]): number {
  return rows.reduce(
    (last, i) => Math.max(last, lastClear[i]!, found[i]! < Infinity ? found[i]! : 0),
    0,
  );
}
