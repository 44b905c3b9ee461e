import { valuesAt } from "../../numerics/mod.ts";
import { designMatrix } from "../../balance/score/mod.ts";
import { numericColumn, textColumn } from "../../cohort/model/mod.ts";
import { knownDurable } from "../durable/mod.ts";
import type { ProgrammeOperations } from "../operations/mod.ts";
import { type SegmentedTrend, segmentedTrend } from "../trend/mod.ts";
import { followedOperations } from "./followed.ts";
import type { Withheld } from "./withheld.ts";

/** What is followed over the years. */
export type YearlyOutcome = "repair" | "age" | "secondary";

/**
 * How the repair rate (with the case mix held alike), age, or the share of secondary regurgitation
 * moved over the calendar years, with changes only at the plan's dates.
 */
export function yearlyTrend(
  operations: ProgrammeOperations,
  outcome: YearlyOutcome,
): SegmentedTrend | Withheld {
  const { analysis, repaired } = operations;
  const rows = [...repaired.keys()];
  if (outcome === "age") {
    const age = numericColumn(analysis, "age");
    if (age.some(Number.isNaN)) return { why: "Age is not recorded for everybody." };
    return trendOf(operations, { rows, outcome: age }, { kind: "amount" });
  }
  if (outcome === "repair") {
    return trendOf(operations, { rows, outcome: Float64Array.from(repaired) }, { caseMix: true });
  }
  const secondary = Float64Array.from(
    textColumn(analysis, "aetiology"),
    (code) => code === "ischaemic" || code === "functional_nonischaemic" ? 1 : 0,
  );
  return trendOf(operations, { rows, outcome: secondary }, {});
}

/**
 * How hard the operations were, by year: mean points of the complexity score.
 *
 * @param complexity Points of each patient, as `complexityPoints` gives them.
 */
export function yearlyComplexity(
  operations: ProgrammeOperations,
  complexity: ArrayLike<number>,
): SegmentedTrend | Withheld {
  const points = Float64Array.from(complexity);
  if (points.every((one) => one === points[0])) return { why: "There is no score to follow." };
  return trendOf(operations, { rows: [...points.keys()], outcome: points }, { kind: "amount" });
}

/**
 * How many of a year's patients were repaired and free of failure at a horizon, or until death,
 * over the years, the case mix held alike. Years that are not yet watched for so long are left out;
 * of the others, patients whose answer is known stand for those of the same year who
 * were lost before.
 *
 * @param options.horizon In years after the operation.
 */
export function yearlyDurable(
  operations: ProgrammeOperations,
  { horizon }: { horizon: number },
): SegmentedTrend | Withheld {
  const { smallestAtRisk } = operations.analysis.study;
  const followed = followedOperations(operations);
  const places = Map.groupBy(
    followed.rows.keys(),
    (k) => operations.year[followed.rows[k]!]!,
  );
  const rows: number[] = [];
  const outcome: number[] = [];
  const weight: number[] = [];
  for (const members of places.values()) {
    const pick = (column: ArrayLike<number>) => valuesAt(column, members);
    const repaired = pick(followed.repaired);
    const time = pick(followed.time);
    const watched = time.filter((years, k) => repaired[k] === 1 && years >= horizon).length;
    if (watched < smallestAtRisk) continue;
    const known = knownDurable({ repaired, time, event: pick(followed.event) }, horizon);
    members.forEach((k, place) => {
      if (known.weight[place] === 0) return;
      rows.push(followed.rows[k]!);
      outcome.push(known.outcome[place]!);
      weight.push(known.weight[place]!);
    });
  }
  return trendOf(operations, {
    rows,
    outcome: Float64Array.from(outcome),
    weight: Float64Array.from(weight),
  }, { caseMix: true });
}

function trendOf(
  { analysis, year }: ProgrammeOperations,
  { rows, outcome, weight }: {
    rows: readonly number[];
    outcome: Float64Array;
    weight?: Float64Array;
  },
  { kind = "event", caseMix = false }: { kind?: "event" | "amount"; caseMix?: boolean },
): SegmentedTrend | Withheld {
  const { confidence, programme } = analysis.study;
  const time = valuesAt(year, rows).map((value) => value + 0.5);
  const years = [...new Set(time)];
  if (years.length < 4) return { why: "Fewer than four years of operations." };
  if (kind === "event" && (!outcome.includes(0) || !outcome.includes(1))) {
    return { why: "All patients are alike in this." };
  }
  // a slope on either side needs two years
  const dates = programme.dates.map(({ at }) => at)
    .filter((at) => {
      const before = years.filter((t) => t < at).length;
      return before >= 2 && years.length - before >= 2;
    }).sort((a, b) => a - b);
  const { covariates, columns } = designMatrix(analysis, analysis.study);
  const trend = segmentedTrend({
    outcome,
    time,
    ...(weight && { weight }),
    ...(caseMix && {
      covariates: Object.fromEntries(
        Object.entries(covariates).filter(([name]) => columns[name] !== "op_year")
          .map(([name, column]) => [name, valuesAt(column, rows)]),
      ),
    }),
  }, { kind, dates, confidence });
  return trend.reason === undefined ? trend : { why: `No trend could be fitted: ${trend.reason}.` };
}

/** One thing followed over the years. */
export interface YearlyChange {
  /** Its name. */
  what: string;
  /** Its course, or why there is none. */
  trend: SegmentedTrend | Withheld;
  /** Whether it is an amount, in its own unit, and not a share. */
  amount?: boolean;
}

/**
 * All that is followed over the years: repair, repairs that last (at the plan's first and its main
 * horizon), and the patients: age, secondary regurgitation, points of the complexity score.
 *
 * @param complexity Points of each patient, as `complexityPoints` gives them.
 */
export function yearlyChanges(
  operations: ProgrammeOperations,
  complexity: ArrayLike<number>,
): YearlyChange[] {
  const { horizons, mainHorizon } = operations.analysis.study;
  const lasting = [...new Set([Math.min(...horizons), mainHorizon])].map((horizon) => ({
    what: `Repaired and lasting ${horizon === 1 ? "1 year" : `${horizon} years`}`,
    trend: yearlyDurable(operations, { horizon }),
  }));
  return [
    { what: "Repaired", trend: yearlyTrend(operations, "repair") },
    ...lasting,
    { what: "Age, years", trend: yearlyTrend(operations, "age"), amount: true },
    { what: "Secondary regurgitation", trend: yearlyTrend(operations, "secondary") },
    {
      what: "Points of the complexity score",
      trend: yearlyComplexity(operations, complexity),
      amount: true,
    },
  ];
}
