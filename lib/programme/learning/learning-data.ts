import {
  binaryColumn,
  checkChoice,
  checkDataColumns,
  DataError,
  type GroupColumn,
  groupColumn,
  type Labels,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import type { OutcomeKind } from "../predictions/mod.ts";

/** Operations of surgeons whose results may change with experience. */
export interface LearningData {
  /** 0 or 1 (a conversion, a leak left), or an amount (minutes of clamping): see `kind`. */
  outcome: Numbers;
  /** Surgeon of each operation; at least two. */
  unit: Labels;
  /** Operations that the surgeon had done before this one, 0 for the first. */
  experience: Numbers;
  /** What else differs between operations: case mix, calendar year, the surgeon's volume. */
  covariates?: Record<string, Numbers>;
}

/** Checked columns. */
export interface LearningColumns {
  kind: OutcomeKind;
  outcome: Float64Array;
  unit: GroupColumn;
  experience: Float64Array;
  covariates: Record<string, Numbers>;
}

/** Checks the operations of a learning curve. @throws {DataError} */
export function learningColumns(
  data: LearningData,
  options: { kind?: OutcomeKind },
  estimator: string,
): LearningColumns {
  const taken = ["outcome", "unit", "experience", "covariates"];
  checkDataColumns(estimator, data, taken);
  const kind = checkChoice("kind", options.kind ?? "event", ["event", "amount"]);
  const outcome = kind === "event"
    ? Float64Array.from(binaryColumn("outcome", data.outcome))
    : numberColumn("outcome", data.outcome);
  const n = outcome.length;
  const unit = groupColumn("unit", data.unit, n);
  if (unit.labels.length < 2) throw new DataError("unit", "at least two units", unit.labels[0]);
  const experience = numberColumn("experience", data.experience, { length: n, min: 0 });
  return { kind, outcome, unit, experience, covariates: data.covariates ?? {} };
}

/** Each row's mean of a column over the rows of its unit. */
export function unitMeans(column: Float64Array, { codes, labels }: GroupColumn): Float64Array {
  const sum = new Float64Array(labels.length);
  const count = new Float64Array(labels.length);
  codes.forEach((code, i) => {
    sum[code]! += column[i]!;
    count[code]!++;
  });
  return Float64Array.from(codes, (code) => sum[code]! / count[code]!);
}
