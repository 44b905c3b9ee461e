import { matchedSample, plannedSearch, weightedSample } from "../../balance/samples/mod.ts";
import { type StudyPropensity, studyPropensity } from "../../balance/score/mod.ts";
import { thresholdHolds } from "../../cohort/analysis/mod.ts";
import { type EndpointFollowUp, followUpOf, reachablePlan } from "../../cohort/follow-up/mod.ts";
import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import { type Analysis, columnOf, hasColumn } from "../../cohort/model/mod.ts";
import { foretellPopulations } from "./foretell-populations.ts";
import { both, count, type Foretold, unlessRefused } from "./foretold.ts";
import { formatNumber } from "../../words/mod.ts";

/**
 * Runs a study's plan against the eligible patients, and says what the report will be able to show:
 * groups, covariates, score, matching and weights, each endpoint at each horizon in each group, and
 * subgroups. No outcome is compared: events are counted, and nothing is estimated from them.
 *
 * What stands here as limited or absent stops no run; the report says the same where it belongs.
 * Counts are exact: this is for whoever keeps the file, and goes into no report.
 */
export function foretell(analysis: Analysis): Foretold[] {
  const groups = groupsOf(analysis);
  const lines = [groups, ...covariates(analysis)];
  if (groups.verdict === "absent") return lines;
  const propensity = unlessRefused(() => studyPropensity(analysis, analysis.study));
  lines.push(...designs(analysis, propensity));
  lines.push(...analysis.study.endpoints.flatMap((_, place) => endpoint(analysis, place)));
  lines.push(restrictedMean(analysis));
  lines.push(...times(analysis));
  lines.push(...analysis.study.thresholds.flatMap((_, place) => subgroup(analysis, place)));
  lines.push(...foretellPopulations(analysis, propensity));
  return lines;
}

function groupsOf(analysis: Analysis): Foretold {
  const { repair, replacement } = analysis.groups.counts;
  const either = repair === 0 || replacement === 0;
  return {
    verdict: either ? "absent" : "shown",
    where: "groups",
    what: "two groups to compare",
    found: both(analysis, count(repair), count(replacement)) +
      (either ? "; nothing can be compared" : ""),
  };
}

function covariates(analysis: Analysis): Foretold[] {
  return analysis.study.adjustment.covariates.map((plan, place): Foretold => {
    const where = `adjustment.covariates[${place}]`;
    const what = `${
      dictionaryColumn("patients", plan.column, analysis.study.columns)?.label ?? plan.column
    } in the score`;
    if (!hasColumn(analysis, plan.column)) {
      return { verdict: "absent", where, what, found: "the file has no such column" };
    }
    const levels = levelsOf(analysis, plan.column);
    const known = [...levels.values()].reduce((sum, n) => sum + n, 0);
    if (known === 0) {
      return { verdict: "absent", where, what, found: "known of no eligible patient" };
    }
    if (levels.size === 1) {
      return { verdict: "limited", where, what, found: "the same for every eligible patient" };
    }
    const reference = plan.form === "category" ? plan.reference : undefined;
    if (reference !== undefined && !levels.has(reference)) {
      return {
        verdict: "limited",
        where: `${where}.reference`,
        what,
        found:
          `no eligible patient has the reference “${reference}”; the commonest takes its place`,
      };
    }
    const rare = plan.form === "category"
      ? [...levels].filter(([, n]) => n < rareLevel).map(([level]) => `“${level}”`)
      : [];
    if (rare.length > 0) {
      const found = `fewer than ${rareLevel} eligible patients have ${rare.join(", ")}`;
      return { verdict: "limited", where, what, found };
    }
    return { verdict: "shown", where, what, found: `known of ${count(known)} patients` };
  });
}

// A level with fewer patients than this tends to separate the groups (common practice, no source).
const rareLevel = 10;

/** How many eligible patients have each value of a column; those without one are left out. */
function levelsOf(analysis: Analysis, column: string): Map<string, number> {
  const levels = new Map<string, number>();
  for (const value of columnOf(analysis, column)) {
    if (value === "" || Number.isNaN(value)) continue;
    const level = String(value);
    levels.set(level, (levels.get(level) ?? 0) + 1);
  }
  return levels;
}

function designs(analysis: Analysis, propensity: StudyPropensity | string): Foretold[] {
  const { study } = analysis;
  const named = { where: "adjustment", what: "groups made alike by the score" };
  if (typeof propensity === "string") return [{ ...named, verdict: "absent", found: propensity }];
  const { warnings } = propensity;
  const score: Foretold = warnings.length === 0
    ? { ...named, verdict: "shown", found: "the model converged, nothing separates the groups" }
    : { ...named, verdict: "limited", found: warnings.join(" ") };
  return [
    score,
    design("estimand", "weighted comparison", () => {
      const { repair, replacement } = weightedSample(analysis, study, { propensity });
      const least = Math.min(repair.effective, replacement.effective);
      return {
        verdict: least < fewEffective ? "limited" : "shown",
        found: "patients the weighted groups are worth: " +
          both(analysis, count(repair.effective), count(replacement.effective)),
      };
    }),
    (study.matching.search === "whole"
      ? tooManyToSearch(plannedSearch(analysis, study, propensity))
      : undefined) ??
      design("matching", "matched comparison", () => {
        const { sets } = matchedSample(analysis, study, { propensity });
        const verdict = sets === 0 ? "absent" : sets < fewEffective ? "limited" : "shown";
        return { verdict, found: `${count(sets)} pairs` };
      }),
  ];
}

/** What becomes of matching where the plan's search of all pairs as a whole is given too many. */
export function tooManyToSearch(
  { pairs, most }: ReturnType<typeof plannedSearch>,
): Foretold | undefined {
  return pairs <= most ? undefined : {
    verdict: "absent",
    where: "matching.search",
    what: "matched comparison by least total distance",
    found:
      `${count(pairs)} pairs of patients lie within the caliper, and the search of the whole ` +
      `takes at most ${count(most)}: every notebook that matches stops there`,
    instead: { path: ["matching"], name: "search", value: "one-by-one" },
  };
}

/** What a design comes to; absent, with the reason, where these patients do not allow it. */
function design(
  where: string,
  what: string,
  make: () => Pick<Foretold, "verdict" | "found">,
): Foretold {
  const made = unlessRefused(make);
  return typeof made === "string"
    ? { where, what, verdict: "absent", found: made }
    : { where, what, ...made };
}

// Fewer than this in a group hardly support limits (common practice, no source).
const fewEffective = 30;

function endpoint(analysis: Analysis, place: number): Foretold[] {
  const { study } = analysis;
  const { id, label } = study.endpoints[place]!;
  const followUp = followUpOf(analysis, id);
  return study.horizons.map((horizon): Foretold => {
    const [repair, replacement] = [1, 0].map((arm) => seenBy(followUp, arm, horizon));
    const least = Math.min(repair!.atRisk, replacement!.atRisk);
    const events = Math.min(repair!.events, replacement!.events);
    const verdict = least === 0
      ? "absent"
      : least < study.smallestAtRisk || events < fewEvents
      ? "limited"
      : "shown";
    return {
      verdict,
      where: `endpoints[${place}]`,
      what: `${label}, at ${horizon} ${horizon === 1 ? "year" : "years"}`,
      found: `events ${both(analysis, count(repair!.events), count(replacement!.events))}; ` +
        `still followed ${both(analysis, count(repair!.atRisk), count(replacement!.atRisk))}`,
    };
  });
}

// Fewer events than this in a group say little of a difference (common practice, no source).
const fewEvents = 5;

/** Events of the first cause by a horizon in one group, and how many are followed beyond it. */
function seenBy({ time, event, treated }: EndpointFollowUp, arm: number, horizon: number) {
  let events = 0;
  let atRisk = 0;
  treated.forEach((group, i) => {
    if (group !== arm) return;
    if (time[i]! >= horizon) atRisk++;
    if (event[i] === 1 && time[i]! <= horizon) events++;
  });
  return { events, atRisk };
}

function restrictedMean(analysis: Analysis): Foretold {
  const { study: { restrictedMeanHorizon: horizon } } = analysis;
  const { time, treated } = followUpOf(analysis, "death");
  const last = [1, 0].map((arm) =>
    time.reduce((latest, t, i) => treated[i] === arm ? Math.max(latest, t) : latest, 0)
  );
  const reached = Math.min(...last) >= horizon;
  return {
    verdict: reached ? "shown" : "absent",
    where: "restrictedMeanHorizon",
    what: `years lived of the first ${horizon}`,
    found: `longest follow-up in years: ${both(analysis, tenths(last[0]!), tenths(last[1]!))}`,
  };
}

const tenths = (years: number) => formatNumber(years, { digits: 1 });

/** Times of the plan that give way to others, in the report's own words. */
function times(analysis: Analysis): Foretold[] {
  return reachablePlan(analysis).changes.map((found) => (
    { verdict: "limited", where: "horizons", what: "results at the planned times", found }
  ));
}

function subgroup(analysis: Analysis, place: number): Foretold[] {
  const threshold = analysis.study.thresholds[place]!;
  if (threshold.purpose !== "subgroup") return [];
  const where = `thresholds[${place}]`;
  const what = `patients with: ${threshold.label}`;
  if (!hasColumn(analysis, threshold.column)) {
    return [{ verdict: "absent", where, what, found: "the file has no such column" }];
  }
  const holds = thresholdHolds(analysis, threshold);
  const onSide = (side: 0 | 1) =>
    [1, 0].map((arm) =>
      holds.reduce((n, at, i) => n + (at === side && analysis.treated[i] === arm ? 1 : 0), 0)
    );
  const [within, beyond] = [onSide(1), onSide(0)];
  const least = Math.min(...within, ...beyond);
  return [{
    verdict: least === 0 ? "absent" : least < rareLevel ? "limited" : "shown",
    where,
    what,
    found: `there ${both(analysis, count(within[0]!), count(within[1]!))}; elsewhere ${
      both(analysis, count(beyond[0]!), count(beyond[1]!))
    }`,
  }];
}
