import {
  checkChoice,
  checkDataColumns,
  DataError,
  numberColumn,
  type Numbers,
  raised,
} from "../../numerics/mod.ts";
import { type ConditionalHazard, conditionalHazard } from "./conditional-hazard.ts";
import { augmentation } from "./augmentation.ts";
import { addThroughModel } from "./model-influence.ts";
import { propensityOf } from "./propensity-influence.ts";
import {
  contrastOf,
  type Influenced,
  isKnownAt,
  type StandardizedColumns,
  standardizedColumns,
  type StandardizedContrast,
  type StandardizedData,
} from "./standardized-contrast.ts";

/** Whom a doubly robust estimate speaks of. */
export type TargetPopulation = "everyone" | "treated" | "overlap";

/** Result of {@link doublyRobustSurvival}. */
export interface DoublyRobustSurvival {
  /** Both groups and their difference, one a time. */
  contrasts: StandardizedContrast[];
  /** Whom the answer is about. */
  population: TargetPopulation;
  /**
   * Models that did not converge, and why; horizons to which some rows could hardly be followed.
   */
  warnings: string[];
}

// Below this chance of being followed to a horizon a row speaks through the survival model alone
// (common practice, no source).
const HARDLY_SEEN = 0.01;

/** Weights of a population at a score e, with their derivatives in logit(e). */
interface Tilt {
  population: (e: number, treated: number) => [value: number, slope: number];
  weight: (e: number, group: 0 | 1) => [value: number, slope: number];
}

const TILTS: Record<TargetPopulation, Tilt> = {
  everyone: {
    population: () => [1, 0],
    weight: (e, group) => group === 1 ? [1 / e, -(1 - e) / e] : [1 / (1 - e), e / (1 - e)],
  },
  treated: {
    population: (_e, treated) => [treated, 0],
    weight: (e, group) => group === 1 ? [1, 0] : [e / (1 - e), e / (1 - e)],
  },
  overlap: {
    population: (e) => [e * (1 - e), e * (1 - e) * (1 - 2 * e)],
    weight: (e, group) => group === 1 ? [1 - e, -e * (1 - e)] : [e, e * (1 - e)],
  },
};

/**
 * Doubly robust survival at fixed horizons (augmented inverse-probability weighting): regression
 * standardisation, set right by what the weighted rows show of the regression's errors.
 *
 *   S_a(t) = [ sum h_i S_a(t | x_i) - sum over group a of w_i S_a(t | x_i) A_i(t) ] / sum h_i
 *   A_i(t) = integral to min(t, T_i) of dM_i(u) / (S_a(u | x_i) G_a(u- | x_i))
 *
 * M_i the row's events less those its model expects; S_a and G_a of the event and of censoring from
 * Cox models in group a alone, w_i = h_i / P(group a | x_i) from a logistic regression.
 *
 * "everyone" (h = 1) and "treated" (h = 1 in the treated) are consistent if either the survival
 * models, or both the propensity and the censoring models, are right. For "overlap" (h = e (1 - e))
 * the score defines the population, so the propensity model must be right and the survival models
 * add precision only. Without covariates the estimate is Kaplan-Meier.
 *
 * Variance: influence functions, squared and added, with what each row moves by way of the
 * propensity score, the survival and the censoring models. Where the models are right the last two
 * all but vanish, so they do not make up for models of many covariates, whose residuals in the rows
 * they were fitted to are smaller than errors. Those of a group are therefore enlarged by the root
 * of E / (E - p), its events E over what p coefficients leave of them, as in least squares. NaN
 * where nothing is left. Usually too wide where only the survival models are wrong. Estimates are
 * not forced into [0, 1], nor to fall with time; a row's predicted survival is, and `warnings`
 * counts the rows for which it had to be.
 *
 * A covariate that all but fixes when follow-up ends, such as the year of operation, should be left
 * out of the censoring model: given it, some rows cannot be followed to a late horizon at all, for
 * them the survival model speaks alone, and the error does not show it. `warnings` says so.
 *
 * NaN at a horizon past a group's last observed time. Cost O(n m k) for
 * m event and censoring times and k horizons.
 *
 * @example
 * ```ts
 * import { doublyRobustSurvival } from "mitral";
 * const time = [1, 2, 2.5, 3, 4, 5, 5.5, 6, 7, 8, 9, 10];
 * const event = [1, 0, 1, 1, 0, 1, 0, 1, 0, 1, 0, 0];
 * const treated = [0, 1, 0, 1, 1, 0, 0, 1, 0, 1, 0, 1];
 * const covariates = { age: [61, 72, 70, 55, 68, 75, 64, 71, 58, 66, 73, 60] };
 * doublyRobustSurvival({ time, event, treated, covariates }, { times: [1, 5] }).contrasts;
 * ```
 * @param options.reference The group that is subtracted, default 0.
 * @param options.population Default "everyone".
 * @param options.models Names of the covariates in each model; default all of them in each.
 * @throws {DataError}
 * @see Bai, Tsiatis & O'Brien (2013) Biometrics 69:830-839; Hubbard, van der Laan & Robins (2000)
 * in Statistical Models in Epidemiology, the Environment, and Clinical Trials, 135-177; augmented
 * weighting for other populations: Li & Li (2019) Ann Appl Stat 13:2389-2415; enlarging residuals:
 * MacKinnon & White (1985) J Econom 29:305-325.
 */
export function doublyRobustSurvival(
  data: StandardizedData,
  options: DoublyRobustOptions,
): DoublyRobustSurvival {
  checkDataColumns("doublyRobustSurvival", data, ["time", "event", "treated", "covariates"]);
  return doublyRobustOf(standardizedColumns(data), options);
}

/** How {@link doublyRobustSurvival} compares. */
export interface DoublyRobustOptions {
  /** The group that is subtracted, default 0. */
  reference?: 0 | 1;
  /** Horizons, in the unit of the follow-up times. */
  times: Numbers;
  /** Whom the answer is about, default "everyone". */
  population?: TargetPopulation;
  /** Names of the covariates in each model; default all of them in each. */
  models?: { survival?: string[]; censoring?: string[]; propensity?: string[] };
  /** Of the limits, default 0.95. */
  confidence?: number;
}

/**
 * {@link doublyRobustSurvival} of columns that were checked.
 *
 * @param hazards The survival model of either group with all covariates, where they are at hand.
 */
export function doublyRobustOf(
  columns: StandardizedColumns,
  options: DoublyRobustOptions,
  hazards?: readonly [ConditionalHazard, ConditionalHazard],
): DoublyRobustSurvival {
  const { follow, rows, treated } = columns;
  const times = numberColumn("times", options.times, { min: 0 });
  const population = checkChoice("population", options.population ?? "everyone", [
    "everyone",
    "treated",
    "overlap",
  ]);
  const { survival, censoring, propensity } = options.models ?? {};
  const score = propensityOf(columns, chosen(columns, "propensity", propensity));
  const tilt = TILTS[population];
  const { n } = follow;
  const share = new Float64Array(n); // h of each row, and its slope
  const shareSlope = new Float64Array(n);
  let size = 0;
  for (let i = 0; i < n; i++) {
    [share[i], shareSlope[i]] = tilt.population(score.fitted[i]!, treated[i]!);
    size += share[i]!;
  }
  const warnings = score.reason === undefined ? [] : [`The propensity model: ${score.reason}.`];
  const arms = ([0, 1] as const).map((code) => {
    const fit = (of: "event" | "censoring", names: string[] | undefined) => {
      const covariates = chosen(columns, of === "event" ? "survival" : "censoring", names);
      const known = of === "event" && names === undefined ? hazards?.[code] : undefined;
      const model = known ?? conditionalHazard(follow, { of, rows: rows[code], covariates });
      if (model.reason !== undefined) {
        warnings.push(`The ${of} model of group ${code}: ${model.reason}.`);
      }
      return model;
    };
    return { code, event: fit("event", survival), censoring: fit("censoring", censoring) };
  });
  const spreads = arms.map(({ code, event }) => {
    const spread = spreadOfFitted(follow, event);
    if (Number.isNaN(spread)) {
      warnings.push(
        `The event model of group ${code} has no more events than covariates: no limits.`,
      );
    }
    return spread;
  }) as [number, number];
  const contrasts = Array.from(times, (time) => {
    const groups = arms.map(({ code, event, censoring }): Influenced => {
      if (!isKnownAt(follow, rows[code], time)) {
        return { estimate: NaN, influence: new Float64Array(follow.n).fill(NaN) };
      }
      const { predicted, residual, fellBelow, gradients } = augmentation(
        follow,
        event,
        censoring,
        time,
      );
      if (smallestFollowed(censoring, time) < HARDLY_SEEN) {
        warnings.push(
          `At ${time}, some rows had next to no chance of being followed that long in group ` +
            `${code}, given the covariates of the censoring model.`,
        );
      }
      if (fellBelow > 0) {
        warnings.push(
          `At ${time}, the survival predicted in group ${code} fell below 0 for ${fellBelow} of ` +
            `${follow.n} rows and was taken as 0.`,
        );
      }
      const weight = new Float64Array(n); // w of the group's rows, 0 of others, and its slope
      const weightSlope = new Float64Array(n);
      for (const i of rows[code]) {
        [weight[i], weightSlope[i]] = tilt.weight(score.fitted[i]!, code);
      }
      let sum = 0;
      for (let i = 0; i < n; i++) sum += share[i]! * predicted[i]!;
      for (const i of rows[code]) sum += weight[i]! * residual[i]!;
      const estimate = sum / size;
      // the derivative in each row's logit, for the score's own uncertainty
      const slopes = new Float64Array(n);
      for (let i = 0; i < n; i++) {
        const own = treated[i] === code ? weightSlope[i]! * residual[i]! : 0;
        slopes[i] = (shareSlope[i]! * (predicted[i]! - estimate) + own) / size;
      }
      const influence = score.influenceOf(slopes);
      for (let i = 0; i < n; i++) {
        const own = treated[i] === code ? weight[i]! * residual[i]! : 0;
        influence[i]! += (share[i]! * (predicted[i]! - estimate) + own) / size;
      }
      const through = gradients(share.map((h) => h / size), weight.map((w) => w / size));
      addThroughModel(influence, event, follow, "event", through.event);
      addThroughModel(influence, censoring, follow, "censoring", through.censoring);
      const spread = spreads[code];
      for (const i of rows[code]) influence[i]! *= spread;
      return { estimate, influence };
    }) as [Influenced, Influenced];
    return contrastOf(columns, time, groups, options);
  });
  return { contrasts, population, warnings: raised(warnings) };
}

/**
 * Residuals of a model are smaller than errors: it was fitted to the same rows. With p coefficients
 * from E events their variance is about (E - p) / E of what it should be, as in least squares with
 * events for observations; NaN where there are no more events than coefficients.
 */
function spreadOfFitted(
  { event }: StandardizedColumns["follow"],
  model: ConditionalHazard,
): number {
  let events = 0;
  for (const row of model.rows) if (event[row]! > 0) events++;
  const left = events - model.columns.length;
  if (model.columns.length === 0) return 1;
  return left > 0 ? Math.sqrt(events / left) : NaN;
}

/** Smallest modelled chance, over all rows, of not having been censored before t. */
function smallestFollowed({ time, increment, risk }: ConditionalHazard, t: number): number {
  let cumulative = 0;
  for (let c = 0; c < time.length && time[c]! < t; c++) cumulative += increment[c]!;
  let largest = 0;
  for (const r of risk) if (r > largest) largest = r;
  return Math.exp(-cumulative * largest);
}

function chosen(
  { covariates }: StandardizedColumns,
  model: string,
  names: string[] | undefined,
): Map<string, Float64Array> {
  if (names === undefined) return covariates;
  return new Map(names.map((name) => {
    const column = covariates.get(name);
    if (!column) throw new DataError(`models.${model}`, "names of the covariates", name);
    return [name, column];
  }));
}
