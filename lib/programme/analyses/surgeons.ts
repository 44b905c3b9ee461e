import { valuesAt } from "../../numerics/mod.ts";
import { designMatrix } from "../../balance/score/mod.ts";
import { ruleHolds } from "../../cohort/analysis/mod.ts";
import { proportionInterval } from "../../regression/rates/mod.ts";
import { randomInterceptLogistic } from "../mixed/mod.ts";
import type { ProgrammeOperations } from "../operations/mod.ts";
import { standardizedRates, type StandardizedUnit } from "../repair-rate/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { Withheld } from "./withheld.ts";

/** A share that the plan wants every surgeon to reach. */
export type StudyTarget = Study["programme"]["targets"][number];

/** A surgeon's repair rate with case mix allowed for, and drawn towards the average. */
export interface SurgeonRate extends StandardizedUnit {
  /** The standardised rate after shrinkage: what is likeliest, given how much surgeons differ. */
  shrunken: { estimate: number; lower: number; upper: number };
}

/** How surgeons' repair rates differ once their case mix is allowed for. */
export interface SurgeonRates {
  /** Share repaired of all, 0 to 1. */
  overall: number;
  /**
   * Single surgeons, and those with few operations as one; not to be shown unless the plan says so.
   */
  units: SurgeonRate[];
  /** Units outside the limits that would hold 95 and 99.8 in 100 of them by chance alone. */
  outside95: number;
  /** Units outside the wider limits. */
  outside998: number;
  /** Standard deviation of the surgeons' log odds, with limits. */
  spread: { estimate: number; lower: number; upper: number };
  /** Median odds ratio between two surgeons. */
  medianOddsRatio: number;
  /** Test that all surgeons are alike. */
  variation: { statistic: number; pValue: number };
  /** Operations without a recorded surgeon, left out. */
  unknown: number;
}

/** Repair rates by surgeon, standardised to the programme's case mix by the plan's covariates. */
export function surgeonRates(operations: ProgrammeOperations): SurgeonRates | Withheld {
  const { analysis, surgeons, repaired, n } = operations;
  const { study } = analysis;
  const rows = [...surgeons.label.keys()].filter((row) => surgeons.label[row] !== "");
  const unit = rows.map((row) => surgeons.label[row]!);
  if (new Set(unit).size < 2) return { why: "Fewer than two surgeons are recorded." };
  const outcome = valuesAt(repaired, rows);
  if (!outcome.includes(0) || !outcome.includes(1)) {
    return { why: "Every valve was repaired, or none." };
  }
  const data = { outcome, unit, covariates: caseMixOf(operations, rows) };
  const { confidence } = study;
  const rates = standardizedRates(data, { confidence });
  const unsolved = (reason: string) => ({
    why: `The model of case mix has no solution: ${reason}.`,
  });
  if (rates.reason !== undefined) return unsolved(rates.reason);
  // from a chance of 0 or 1 no surgeon can differ: a model that tells some operations apart
  if (rates.expected.some((chance) => !(chance > 0 && chance < 1))) {
    return unsolved("it leaves some operations no chance of a repair, or of none");
  }
  // the case mix as it was fitted for all; only what is left is shared out between surgeons
  const offset = rates.expected.map((p) => Math.log(p / (1 - p)));
  const mixed = randomInterceptLogistic({ outcome, unit, offset }, { confidence });
  if (mixed.reason !== undefined) return unsolved(mixed.reason);
  // about the average surgeon
  const rateAt = (shift: number) =>
    mixed.linearPredictor.reduce((sum, eta) => sum + 1 / (1 + Math.exp(-eta - shift)), 0) /
    rows.length;
  return {
    overall: rates.overall,
    units: rates.units.map((one) => {
      const { effect } = mixed.units.find(({ unit }) => unit === one.unit)!;
      const [estimate, lower, upper] = [effect.estimate, effect.lower, effect.upper].map(rateAt);
      return { ...one, shrunken: { estimate: estimate!, lower: lower!, upper: upper! } };
    }),
    outside95: rates.units.filter(({ pValue }) => pValue < 0.05).length,
    outside998: rates.units.filter(({ pValue }) => pValue < 0.002).length,
    spread: mixed.spreadLimits({ adjusted: true }),
    medianOddsRatio: mixed.medianOddsRatio,
    variation: mixed.variation,
    unknown: n - rows.length,
  };
}

/** Surgeons' standardised rates, beside a target of the plan. */
export interface RatesAgainstTarget {
  /** As the plan has it. */
  target: StudyTarget;
  /** One a surgeon. */
  units: StandardizedUnit[];
}

/**
 * Surgeons' repair rates among the patients of one of the plan's targets, case mix allowed for, and
 * p values that compare them with that target.
 *
 * @param id Of the target; default the plan's first.
 */
export function surgeonRatesAgainst(
  operations: ProgrammeOperations,
  id?: string,
): RatesAgainstTarget | Withheld {
  const { analysis, surgeons, repaired } = operations;
  const { study } = analysis;
  const { targets } = study.programme;
  const target = id === undefined ? targets[0] : targets.find((one) => one.id === id);
  if (!target) return { why: "The plan names no target to compare surgeons with." };
  const holds = target.rule ? ruleHolds(analysis, target.rule, study) : undefined;
  const rows = [...surgeons.label.keys()]
    .filter((row) => surgeons.label[row] !== "" && (!holds || holds[row] === 1));
  const unit = rows.map((row) => surgeons.label[row]!);
  if (new Set(unit).size < 2) return { why: "Fewer than two surgeons are recorded." };
  const outcome = valuesAt(repaired, rows);
  if (!outcome.includes(0) || !outcome.includes(1)) {
    return { why: "Every valve was repaired, or none." };
  }
  const rates = standardizedRates({ outcome, unit, covariates: caseMixOf(operations, rows) }, {
    confidence: study.confidence,
    target: target.value,
  });
  if (rates.reason !== undefined) {
    return { why: `The model of case mix has no solution: ${rates.reason}.` };
  }
  return { target, units: rates.units };
}

/** The plan's covariates of some patients. */
function caseMixOf(
  { analysis }: ProgrammeOperations,
  rows: readonly number[],
): Record<string, Float64Array> {
  const { covariates } = designMatrix(analysis, analysis.study);
  return Object.fromEntries(
    Object.entries(covariates).map(([name, column]) => [name, valuesAt(column, rows)]),
  );
}

/** A rate of the programme beside a target of the plan. */
export interface TargetRate {
  /** Name that it is referred to by. */
  id: string;
  /** Name as readers see it. */
  label: string;
  /** Share aimed at, 0 to 1. */
  target: number;
  /** Where the target comes from. */
  source: string;
  /** Operations. */
  n: number;
  /** Operations that ended as a repair. */
  repaired: number;
  /** Share repaired, 0 to 1, with limits. */
  rate: { estimate: number; lower: number; upper: number };
}

/**
 * The programme's repair rates beside the plan's targets, with exact limits; those of
 * nobody left out.
 */
export function targetRates({ analysis, repaired }: ProgrammeOperations): TargetRate[] {
  const { study } = analysis;
  return study.programme.targets.map(({ id, label, value, rule, source }) => {
    const holds = rule ? ruleHolds(analysis, rule, study) : undefined;
    const rows = [...repaired.keys()].filter((row) => !holds || holds[row] === 1);
    const count = rows.reduce((sum, row) => sum + repaired[row]!, 0);
    const { confidence } = study;
    return {
      id,
      label,
      target: value,
      source,
      n: rows.length,
      repaired: count,
      rate: rows.length === 0
        ? { estimate: NaN, lower: NaN, upper: NaN }
        : proportionInterval(count, rows.length, { method: "exact", confidence }),
    };
  }).filter(({ n }) => n > 0);
}
