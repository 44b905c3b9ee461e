import {
  binaryColumn,
  checkConfidence,
  checkDataColumns,
  DataError,
  distributions,
  type Interval,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";

/** Who would be acted on: by a risk, wherever it reaches the threshold, or by a fixed rule. */
export type ActingRule = { risk: Numbers } | { marked: Numbers };

/** What one way of acting is worth at each threshold. */
export interface DecisionLine {
  /** Name of the rule. */
  rule: string;
  /** Net benefit a patient, one a threshold. */
  benefit: Interval[];
  /** Less the better of acting on all and acting on none. */
  gain: Interval[];
}

/** Net benefit of several ways of acting over a range of thresholds. */
export interface DecisionCurve {
  /** Chances at which one would act, 0 to 1. */
  thresholds: Float64Array;
  /** One a rule. */
  lines: DecisionLine[];
  /** Net benefit of acting on all; acting on none has 0. */
  all: Interval[];
}

/**
 * Decision curve: what acting by a model, or by a mark, is worth beside acting on all or on none.
 *
 * A reader who would act at a risk of t weighs one needless action as t / (1 - t) of a missed one.
 * Net benefit = true positives / n - false positives / n * t / (1 - t). Limits from the spread
 * between patients, with risks taken as known (use held-out risks: a model flatters itself on its
 * own patients). Cost O(n) a threshold and rule.
 *
 * @example Two warning marks beside a model
 * ```ts
 * import { decisionCurve } from "mitral";
 *
 * const outcome = [0, 1, 0, 1];
 * const rules = { model: { risk: [0.1, 0.6, 0.3, 0.4] }, mark: { marked: [0, 1, 1, 0] } };
 * decisionCurve({ outcome, rules }, { thresholds: [0.2] }).lines[0]?.benefit[0]?.estimate; // 0.4375
 * ```
 * @param data.outcome 1 where acting would have been right, 0 where needless.
 * @param data.rules Risks in [0, 1], or marks of 0 and 1.
 * @param data.weight Case weights, above 0.
 * @param options.thresholds Risks strictly between 0 and 1.
 * @throws {DataError}
 * @see Vickers & Elkin (2006) Med Decis Making 26:565-574.
 */
export function decisionCurve(
  data: { outcome: Numbers; rules: Record<string, ActingRule>; weight?: Numbers },
  options: { thresholds: Numbers; confidence?: number },
): DecisionCurve {
  checkDataColumns("decisionCurve", data, ["outcome", "rules", "weight"]);
  const confidence = checkConfidence(options.confidence);
  const z = distributions.normalUpperQuantile((1 - confidence) / 2);
  const outcome = binaryColumn("outcome", data.outcome);
  const n = outcome.length;
  if (n === 0) throw new DataError("outcome", "at least one row");
  const weight = data.weight && numberColumn("weight", data.weight, { length: n, above: 0 });
  const thresholds = numberColumn("thresholds", options.thresholds);
  thresholds.forEach((t, i) => {
    if (!(t > 0 && t < 1)) throw new DataError("thresholds", "strictly between 0 and 1", t, i);
  });
  const names = Object.keys(data.rules);
  if (names.length === 0) throw new DataError("rules", "at least one", "none");
  const worth = (t: number, acts: (row: number) => boolean) =>
    Float64Array.from(outcome, (y, row) => acts(row) ? (y === 1 ? 1 : -t / (1 - t)) : 0);
  const mean = (values: Float64Array) => meanWithLimits(values, weight, z);
  const onAll = Array.from(thresholds, (t) => worth(t, () => true));
  const all = onAll.map(mean);
  return {
    thresholds,
    all,
    lines: names.map((rule) => {
      const acting = actingOf(rule, data.rules[rule]!, n);
      const own = Array.from(thresholds, (t) => worth(t, (row) => acting(row, t)));
      return {
        rule,
        benefit: own.map(mean),
        gain: own.map((values, k) => {
          const other = all[k]!.estimate > 0 ? onAll[k]! : undefined;
          return mean(other ? values.map((value, row) => value - other[row]!) : values);
        }),
      };
    }),
  };
}

function actingOf(
  name: string,
  rule: ActingRule,
  n: number,
): (row: number, threshold: number) => boolean {
  if ("marked" in rule) {
    const marked = binaryColumn(`rules.${name}.marked`, rule.marked, n);
    return (row) => marked[row] === 1;
  }
  const risk = numberColumn(`rules.${name}.risk`, rule.risk, { length: n, min: 0, max: 1 });
  return (row, threshold) => risk[row]! >= threshold;
}

function meanWithLimits(
  values: Float64Array,
  weight: Float64Array | undefined,
  z: number,
): Interval {
  let total = 0;
  let sum = 0;
  values.forEach((value, i) => {
    const w = weight ? weight[i]! : 1;
    total += w;
    sum += w * value;
  });
  const estimate = sum / total;
  let squares = 0;
  values.forEach((value, i) => squares += ((weight ? weight[i]! : 1) * (value - estimate)) ** 2);
  const standardError = Math.sqrt(squares) / total;
  return {
    estimate,
    standardError,
    lower: estimate - z * standardError,
    upper: estimate + z * standardError,
  };
}
