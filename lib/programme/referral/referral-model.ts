import {
  DataError,
  distributions,
  type GroupColumn,
  groupColumn,
  type Labels,
  type Limits,
  type Numbers,
} from "../../numerics/mod.ts";
import { type LogisticFit, logisticRegression } from "../../regression/models/mod.ts";
import { riskLimits } from "../../regression/prediction/mod.ts";
import { type DurableData, knownDurable } from "../durable/mod.ts";
import { indicatorColumns, indicatorName } from "../predictions/mod.ts";

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
  chancesOf(pairs: readonly { profile: string | number; band: string | number }[]): Chance[];
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
  const wider = cluster ? widening(cluster.labels.length, confidence) : 1;
  return {
    fit,
    profile,
    band,
    ...(cluster && { cluster }),
    weight,
    chancesOf(pairs) {
      const at = Object.fromEntries(names.map((name) => [
        name,
        pairs.map((pair) =>
          name === indicatorName("profile", pair.profile) ||
            name === indicatorName("band", pair.band)
            ? 1
            : 0
        ),
      ]));
      const { estimate, lower, upper } = riskLimits(fit, at, { confidence });
      return Array.from(estimate, (chance, k) => ({
        estimate: chance,
        lower: further(chance, lower[k]!, wider),
        upper: further(chance, upper[k]!, wider),
      }));
    },
  };
}

/**
 * By how much errors over few clusters fall short: Student's quantile with one degree of freedom less
 * than clusters for the normal one, and the root of G / (G - 1).
 */
function widening(clusters: number, confidence: number): number {
  if (clusters < 2) return Infinity;
  const tail = (1 - confidence) / 2;
  return distributions.studentUpperQuantile(tail, clusters - 1) /
    distributions.normalUpperQuantile(tail) * Math.sqrt(clusters / (clusters - 1));
}

/** A limit of a chance moved away from it on the log odds. */
function further(chance: number, limit: number, times: number): number {
  const logOdds = (p: number) => Math.log(p / (1 - p));
  const reach = logOdds(limit) - logOdds(chance);
  if (reach === 0) return limit;
  return 1 / (1 + Math.exp(-logOdds(chance) - times * reach));
}
