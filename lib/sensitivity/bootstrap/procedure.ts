import { DataError, type Labels, meanOf, type Numbers } from "../../numerics/mod.ts";
import type { Estimand } from "../../balance/weigh/mod.ts";
import type { MatchOptions } from "../../balance/match/mod.ts";
import { rematchColumns, reweightColumns, type ScoredColumns } from "../../balance/samples/mod.ts";
import { kaplanMeierByGroup, restrictedMeanDifference } from "../../survival/curve/mod.ts";
import type { VectorStatistic } from "./replicates.ts";

/** Match-and-estimate, or weigh-and-estimate, as plain columns that can be sent to a worker. */
export interface Procedure {
  /** What is done to drawn rows before the groups are compared. */
  design:
    | { kind: "as-given" }
    | { kind: "matched"; options: MatchOptions }
    | {
      kind: "weighted";
      options: { estimand: Estimand; stabilized?: boolean; truncate?: [low: number, high: number] };
    };
  /** Times, in one unit. */
  time: Numbers;
  /** 0 or 1. */
  event: Numbers;
  /** 0 or 1. */
  treated: Uint8Array;
  /** Columns of the propensity model; not needed as given. */
  covariates?: Record<string, Float64Array>;
  /** Partners must have the same label. */
  alike?: Labels;
  /**
   * Where missing covariates are imputed: the columns of each completed set, in place of
   * `covariates` and `alike`.
   */
  inSets?: readonly Pick<ScoredColumns, "covariates" | "alike">[];
  /** Times at which survival is compared. */
  horizons: readonly number[];
  /** Where there is one, restricted means up to it are compared too. */
  restrictedMeanHorizon?: number;
}

/**
 * The whole procedure as a function of drawn rows: fit the propensity model, match or weigh, and
 * compare. Values: treated minus control in survival at each horizon, then in restricted mean time.
 * NaN where a draw was not followed far enough.
 *
 * Where missing covariates are imputed, each replicate takes one completed set, in turn, so that
 * the replicates together vary by both (Schomaker & Heumann 2018); the rows themselves take the
 * mean over all sets, and parts of a jackknife the first.
 *
 * @throws {DataError} on matching with replacement, for which the bootstrap is wrong.
 * @see Abadie & Imbens (2008) Econometrica 76:1537-1557 (matching with replacement); Austin & Small
 * (2014) Stat Med 33:4306-4319; Schomaker & Heumann (2018) Stat Med 37:2252-2266.
 */
export function procedureStatistic(procedure: Procedure): VectorStatistic {
  const { design, treated, covariates = {}, alike, inSets } = procedure;
  if (design.kind === "matched" && design.options.reuse) {
    throw new DataError("design.options.reuse", "false under a bootstrap", true);
  }
  const sets = (inSets ?? [{ covariates, ...(alike ? { alike } : {}) }]).map((columns) =>
    inOneSet({ treated, ...columns }, procedure)
  );
  return (drawn, _unit, replicate) => {
    if (sets.length === 1 || replicate !== undefined) {
      return sets[Math.max(0, replicate ?? 0) % sets.length]!(drawn);
    }
    const each = sets.map((statistic) => statistic(drawn));
    return each[0]!.map((_, k) => meanOf(each.map((values) => values[k]!)));
  };
}

function inOneSet(
  columns: ScoredColumns,
  procedure: Procedure,
): (drawn: Int32Array) => number[] {
  const { design, time, event, treated } = procedure;
  const rematch = design.kind === "matched" ? rematchColumns(columns, design.options) : undefined;
  const reweight = design.kind === "weighted"
    ? reweightColumns(columns, design.options)
    : undefined;
  return (drawn) => {
    const matched = rematch?.(drawn);
    const rows = matched?.rows ?? drawn;
    const weight = reweight?.(drawn) ?? matched?.rowWeight;
    const data = {
      time: Float64Array.from(rows, (row) => time[row]!),
      event: Uint8Array.from(rows, (row) => event[row]!),
      group: Uint8Array.from(rows, (row) => treated[row]!),
      ...(weight ? { weight } : {}),
    };
    return contrasts(data, procedure);
  };
}

function contrasts(
  data: Parameters<typeof restrictedMeanDifference>[0],
  { horizons, restrictedMeanHorizon: horizon }: Procedure,
): number[] {
  const [control, treated] = kaplanMeierByGroup(data).map(({ curve }) => curve.at(horizons));
  if (!control || !treated) throw new DataError("treated", "1 in some rows and 0 in others");
  const differences = Array.from(treated.survival, (s, k) => s - control.survival[k]!);
  if (horizon === undefined) return differences;
  try {
    return [...differences, restrictedMeanDifference(data, { horizon }).difference.estimate];
  } catch (error) {
    // the draw's follow-up ends before the horizon
    if (error instanceof DataError && error.argument === "horizon") return [...differences, NaN];
    throw error;
  }
}
