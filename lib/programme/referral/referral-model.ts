import {
  DataError,
  distributions,
  type GroupColumn,
  groupColumn,
  type Labels,
  type Limits,
  type Numbers,
} from "../../numerics/mod.ts";
import { logistic, type LogisticFit, logisticRegression } from "../../regression/models/mod.ts";
import { riskLimits } from "../../regression/prediction/mod.ts";
import { type DurableData, knownDurable } from "../durable/mod.ts";
import { indicatorColumns, indicatorName } from "../predictions/mod.ts";
import { type ClusterError, clusterErrors } from "./few-clusters.ts";

/** Operations by kind of patient and band of volume, and what became of them. */
export interface ReferralData extends DurableData {
  /** Kind of patient, such as "degenerative, both leaflets". */
  profile: Labels;
  /** Band of surgeon volume. */
  band: Labels;
  /** Surgeon: rows that are kept together in errors. */
  cluster?: Labels;
}

/** A chance with its limits. */
export type Chance = Limits;

/** Profiles and bands as main effects on the log odds of a durable repair. */
export interface ReferralModel {
  fit: LogisticFit;
  profile: GroupColumn;
  band: GroupColumn;
  cluster?: GroupColumn;
  /** 0 for rows whose answer is not known. */
  weight: Float64Array;
  /** Chances for pairs of profile and band. */
  riskOf(pairs: readonly Pair[]): Float64Array;
  /** The same with limits. */
  chancesOf(pairs: readonly Pair[]): Chance[];
}

interface Pair {
  profile: string | number;
  band: string | number;
}

/** Fits the model. @throws {DataError} */
export function referralModel(
  data: ReferralData,
  { horizon, confidence }: { horizon: number; confidence: number },
): ReferralModel {
  const { repaired, time, event } = data;
  const { outcome, weight } = knownDurable({ repaired, time, event }, horizon);
  const n = outcome.length;
  const profile = groupColumn("profile", data.profile, n);
  const band = groupColumn("band", data.band, n);
  const cluster = data.cluster && groupColumn("cluster", data.cluster, n);
  const rows = [...weight.keys()].filter((row) => weight[row]! > 0);
  const known = outcome.filter((_, row) => weight[row]! > 0);
  if (!known.includes(0) || !known.includes(1)) {
    throw new DataError("repaired", "durable in some rows and not in others", known[0]);
  }
  const columns = { ...indicatorColumns("profile", profile), ...indicatorColumns("band", band) };
  const names = Object.keys(columns);
  if (names.length === 0) {
    throw new DataError("profile", "at least two profiles, or two bands", profile.labels[0]);
  }
  const pick = (values: Numbers) => Float64Array.from(rows, (row) => values[row]!);
  const fit = logisticRegression({
    outcome: pick(outcome),
    weight: pick(weight),
    covariates: Object.fromEntries(names.map((name) => [name, pick(columns[name]!)])),
    ...(cluster && { cluster: rows.map((row) => cluster.codes[row]!) }),
  }, { confidence });
  const errorsOver = ({ codes, labels }: GroupColumn) =>
    clusterErrors({
      columns: fit.terms.slice(1).map(({ name }) => pick(columns[name]!)),
      outcome: Uint8Array.from(pick(outcome)),
      weight: pick(weight),
      chance: fit.fitted,
      code: Int32Array.from(rows, (row) => codes[row]!),
      clusters: labels.length,
    });
  const at = (pairs: readonly Pair[]) =>
    Object.fromEntries(names.map((name) => [
      name,
      pairs.map((pair) =>
        name === indicatorName("profile", pair.profile) || name === indicatorName("band", pair.band)
          ? 1
          : 0
      ),
    ]));
  return {
    fit,
    profile,
    band,
    ...(cluster && { cluster }),
    weight,
    riskOf: (pairs) => fit.probabilityFor(at(pairs)),
    chancesOf(pairs) {
      const asked = at(pairs);
      const { estimate, lower, upper } = riskLimits(fit, asked, { confidence });
      const errorOf = cluster && errorsOver(cluster);
      return Array.from(estimate, (chance, k) => {
        if (!errorOf) return { estimate: chance, lower: lower[k]!, upper: upper[k]! };
        const own = fit.terms.map(({ name }, j) => j === 0 ? 1 : asked[name]![k]!);
        return { estimate: chance, ...limitsOf(chance, errorOf(own), confidence) };
      });
    },
  };
}

/** Limits of a chance from the error of its log odds, by Student's quantile. */
function limitsOf(
  chance: number,
  { standardError, degreesOfFreedom }: ClusterError,
  confidence: number,
): { lower: number; upper: number } {
  if (standardError === Infinity) return { lower: 0, upper: 1 };
  const reach = standardError *
    distributions.studentUpperQuantile((1 - confidence) / 2, degreesOfFreedom);
  const logOdds = Math.log(chance / (1 - chance));
  return { lower: logistic(logOdds - reach), upper: logistic(logOdds + reach) };
}
