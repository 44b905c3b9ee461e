import {
  checkDataColumns,
  DataError,
  type FollowUpColumns,
  numberColumn,
  type Numbers,
  raised,
} from "../../numerics/mod.ts";
import { type ConditionalHazard, conditionalHazard } from "./conditional-hazard.ts";
import { lastAtMost } from "../curve/mod.ts";
import { addThroughModel, noGradient } from "./model-influence.ts";
import { addGradientOfPredicted, predictedSurvival } from "./predicted-survival.ts";
import { riskNodes } from "./risk-nodes.ts";
import {
  contrastOf,
  type Influenced,
  isKnownAt,
  type StandardizedColumns,
  standardizedColumns,
  type StandardizedContrast,
  type StandardizedData,
} from "./standardized-contrast.ts";

/** Result of {@link standardizedSurvival}. */
export interface StandardizedSurvival {
  /** Both groups and their difference, one a time. */
  contrasts: StandardizedContrast[];
  /** Models that did not converge, and why. */
  warnings: string[];
}

/**
 * Regression-standardised survival (g-formula): what survival would have been, had everyone been in
 * group 1, and had everyone been in group 0.
 *
 * A Cox model in each group by itself, so that neither its baseline nor any coefficient is shared:
 * no proportional hazards between the groups are assumed, and any covariate may change the effect.
 * Each model predicts everybody, and the predictions are averaged:
 *
 *   S_a(t) = sum of h_i S_a(t | x_i) / sum of h_i,  S_a(t | x) = product of 1 - dH_a(u) exp(x'b_a)
 *
 * over event times u <= t, dH Breslow's increments: without covariates this is Kaplan-Meier.
 * Right only where the models are: they carry each group into regions where it has few patients.
 *
 * Variance: influence functions, of coefficients, baselines and of who was averaged over, squared
 * and added; without covariates this is Greenwood's. h is taken as known.
 *
 * NaN at a horizon past a group's last observed time. Cost some tens of n + m for each of the
 * horizons, m event times; n m only where increments come near to 1 / risk.
 *
 * @example Alive at 1 and 5 years in the population of everyone
 * ```ts
 * import { standardizedSurvival } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 1, 1, 0, 1, 0, 1, 0, 1, 0, 0];
 * const treated = [0, 1, 0, 1, 1, 0, 0, 1, 0, 1, 0, 1];
 * const age = [61, 72, 70, 55, 68, 75, 64, 71, 58, 66, 73, 60];
 * const lvef = [60, 48, 55, 61, 44, 52, 58, 40, 63, 57, 49, 62];
 * standardizedSurvival({ time, event, treated, covariates: { age, lvef } }, { times: [1, 5] });
 * ```
 * @param data.target How much each row counts in the population averaged over, at least 0: 1 for
 * everyone (the default), the column `treated` for those treated, e (1 - e) with e the propensity
 * score for the overlap.
 * @throws {DataError}
 * @see Robins (1986) Math Modelling 7:1393-1512; averaged Cox predictions: Makuch (1982) J Chronic
 * Dis 35:437-443; their variance by influence functions: Ozenne et al. (2020) Biom J 62:751-763.
 */
export function standardizedSurvival(
  data: StandardizedData & { target?: Numbers },
  options: { times: Numbers; confidence?: number; reference?: 0 | 1 },
): StandardizedSurvival {
  checkDataColumns("standardizedSurvival", data, [
    "time",
    "event",
    "treated",
    "covariates",
    "target",
  ]);
  const columns = standardizedColumns(data);
  return standardizedOf(columns, eventHazards(columns), { ...options, target: data.target });
}

/** The survival model of either group, group 0 first, with all covariates. */
export function eventHazards(
  { follow, covariates, rows }: StandardizedColumns,
): [ConditionalHazard, ConditionalHazard] {
  const fit = (code: 0 | 1) =>
    conditionalHazard(follow, { of: "event", rows: rows[code], covariates });
  return [fit(0), fit(1)];
}

/** {@link standardizedSurvival} of columns that were checked, under models that were fitted. */
export function standardizedOf(
  columns: StandardizedColumns,
  models: [ConditionalHazard, ConditionalHazard],
  options: { times: Numbers; confidence?: number; reference?: 0 | 1; target?: Numbers },
): StandardizedSurvival {
  const { follow } = columns;
  const times = numberColumn("times", options.times, { min: 0 });
  const target = options.target === undefined
    ? new Float64Array(follow.n).fill(1)
    : numberColumn("target", options.target, { length: follow.n, min: 0 });
  const size = target.reduce((sum, h) => sum + h, 0);
  if (!(size > 0)) throw new DataError("target", "above 0 in some rows", options.target);
  const share = target.map((h) => h / size);
  const contrasts = Array.from(times, (time) => {
    const groups = models.map((model) =>
      isKnownAt(follow, model.rows, time)
        ? averaged(model, follow, share, time)
        : { estimate: NaN, influence: new Float64Array(follow.n).fill(NaN) }
    ) as [Influenced, Influenced];
    return contrastOf(columns, time, groups, options);
  });
  const warnings = models.flatMap(({ reason }, code) =>
    reason === undefined ? [] : [`The survival model of group ${code}: ${reason}.`]
  );
  return { contrasts, warnings: raised(warnings) };
}

/** Average predicted survival at t, and each row's influence on it. */
function averaged(
  model: ConditionalHazard,
  follow: FollowUpColumns,
  share: Float64Array,
  t: number,
): Influenced {
  const places = lastAtMost(model.time, t) + 1;
  const nodes = riskNodes(model, places);
  const predicted = predictedSurvival(model, places, nodes);
  const gradient = noGradient(model, places);
  addGradientOfPredicted(gradient, model, nodes, { h: share, predicted });
  let estimate = 0;
  for (let i = 0; i < share.length; i++) estimate += share[i]! * predicted[i]!;
  const influence = predicted.map((s, i) => share[i]! * (s - estimate));
  addThroughModel(influence, model, follow, "event", gradient);
  return { estimate, influence };
}
