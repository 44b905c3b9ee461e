import {
  checkConfidence,
  checkDataColumns,
  DataError,
  groupColumn,
  type Labels,
  numberColumn,
  type Numbers,
} from "../../numerics/mod.ts";
import { logisticRegression } from "../../regression/models/mod.ts";
import { riskLimits } from "../../regression/prediction/mod.ts";
import { type DurableData, knownDurable } from "../durable/mod.ts";
import { indicatorColumns, indicatorName } from "../predictions/mod.ts";

/** The chance of a durable repair for one profile in one band of surgeon volume. */
export interface ReferralCell {
  /** Kind of valve. */
  profile: string | number;
  /** Band of experience. */
  band: string | number;
  /** Operations of this profile in this band, on which the row rests most. */
  n: number;
  /** Of these, repairs lost from sight before the horizon. */
  unknown: number;
  /** Chance of repair, 0 to 1, with limits. */
  chance: { estimate: number; lower: number; upper: number };
}

/** Chances for profiles, not persons. */
export interface ReferralTable {
  /** One a kind and band. */
  cells: ReferralCell[];
  /** Whether the search for the estimate came to its end. */
  converged: boolean;
  /** Why not, when `converged` is false. */
  reason?: string;
}

/**
 * Chance of a durable repair here for profiles of patients, by band of surgeon volume.
 *
 * A logistic model of being repaired and free of failure at the horizon, with profile and band as main
 * effects: what profiles teach about bands is shared, and cells with few operations borrow from the
 * others. Patients lost before the horizon are represented by others (inverse probability of
 * censoring). Errors are robust and keep surgeons together where `cluster` is given; with fewer than
 * some thirty surgeons they are too narrow. A band differs from another by more than volume: this
 * informs a team's discussion and decides nothing. Cost: one logistic regression.
 *
 * @example
 * ```ts ignore
 * import { referralTable } from "mitral";
 *
 * referralTable({ repaired, time, event, profile, band, cluster: surgeon }, { horizon: 5 }).cells;
 * ```
 * @param data.profile Kind of patient, such as "degenerative, both leaflets".
 * @param data.band Band of surgeon volume.
 * @param options.horizon Years.
 * @throws {DataError}
 */
export function referralTable(
  data: DurableData & { profile: Labels; band: Labels; cluster?: Labels },
  options: { horizon: number; confidence?: number },
): ReferralTable {
  const taken = ["repaired", "time", "event", "profile", "band", "cluster"];
  checkDataColumns("referralTable", data, taken);
  const confidence = checkConfidence(options.confidence);
  const { repaired, time, event } = data;
  const { outcome, weight } = knownDurable({ repaired, time, event }, options.horizon);
  const n = outcome.length;
  const profile = groupColumn("profile", data.profile, n);
  const band = groupColumn("band", data.band, n);
  const rows = [...weight.keys()].filter((row) => weight[row]! > 0);
  const known = outcome.filter((_, row) => weight[row]! > 0);
  if (!known.includes(0) || !known.includes(1)) {
    throw new DataError("repaired", "durable in some rows and not in others", known[0]);
  }
  const columns = { ...indicatorColumns("profile", profile), ...indicatorColumns("band", band) };
  if (Object.keys(columns).length === 0) {
    throw new DataError("profile", "at least two profiles, or two bands", profile.labels[0]);
  }
  const pick = <T>(values: ArrayLike<T>) => rows.map((row) => values[row]!);
  const fit = logisticRegression({
    outcome: pick(outcome),
    weight: numberColumn("weight", pick(weight)),
    covariates: Object.fromEntries(
      Object.entries(columns).map(([name, column]) => [name, pick(column)]),
    ),
    ...(data.cluster && { cluster: pick(data.cluster) }),
  }, { confidence });
  const cells = profile.labels.flatMap((_, p) => band.labels.map((_, b) => ({ p, b })));
  const at: Record<string, Numbers> = Object.fromEntries(
    Object.keys(columns).map((name) => [
      name,
      cells.map(({ p, b }) =>
        name === indicatorName("profile", profile.labels[p]!) ||
          name === indicatorName("band", band.labels[b]!)
          ? 1
          : 0
      ),
    ]),
  );
  const { estimate, lower, upper } = riskLimits(fit, at, { confidence });
  return {
    cells: cells.map(({ p, b }, k) => {
      const members = [...profile.codes.keys()]
        .filter((row) => profile.codes[row] === p && band.codes[row] === b);
      return {
        profile: profile.labels[p]!,
        band: band.labels[b]!,
        n: members.length,
        unknown: members.filter((row) => weight[row] === 0).length,
        chance: { estimate: estimate[k]!, lower: lower[k]!, upper: upper[k]! },
      };
    }),
    converged: fit.converged,
    ...(fit.reason !== undefined && { reason: fit.reason }),
  };
}
