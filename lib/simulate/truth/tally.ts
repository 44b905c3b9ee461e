import { daysPerYear, hazardLimit } from "../mechanism/mod.ts";

/** What one patient's potential outcome adds to a tally, in days; Infinity where it never comes. */
export interface TallyEntry {
  weight: number;
  /** exp(true prognostic score). */
  risk: number;
  deathDay: number;
  lastContactDay: number;
  /** Whether at risk of recurrence: grade 0 or 1 at exit, or dead in theatre. */
  atRisk: boolean;
  /** Onset of >= 2+, as a fraction of days. */
  onsetDay: number;
  foundDay: number;
  severeFoundDay: number;
  reoperationDay: number;
  /** A leak on leaving theatre (day 0) or found later, or a reoperation. */
  failureDay: number;
  /** Death or reoperation for another cause than regurgitation. */
  competingDay: number;
}

/** A number before it has been combined over batches; ratios are averaged on the log scale. */
export type Raw = number | { logRatio: number };

/** Weighted counts by day of one group's potential outcomes. */
export class Tally {
  weight = 0;
  #atRisk = 0;
  #residual = 0;
  #risk = 0;
  #lived = 0;
  readonly #limit: number;
  readonly #death: Float64Array;
  readonly #riskLeaving: Float64Array;
  readonly #seenDeath: Float64Array;
  readonly #seenLeaving: Float64Array;
  readonly #onset: Float64Array;
  readonly #found: Float64Array;
  readonly #severeFound: Float64Array;
  readonly #foundLeaving: Float64Array;
  readonly #reoperation: Float64Array;
  readonly #failure: Float64Array;
  readonly #reoperationLeaving: Float64Array;

  /**
   * @param limit Last day of interest.
   * @param longest Last day on which anybody can have been seen.
   */
  constructor(limit: number, longest: number) {
    const days = () => new Float64Array(limit + 1);
    this.#limit = limit;
    this.#death = days();
    this.#riskLeaving = days();
    this.#seenDeath = new Float64Array(longest + 1);
    this.#seenLeaving = new Float64Array(longest + 1);
    this.#onset = days();
    this.#found = days();
    this.#severeFound = days();
    this.#foundLeaving = days();
    this.#reoperation = days();
    this.#failure = days();
    this.#reoperationLeaving = days();
  }

  add(entry: TallyEntry): void {
    const { weight, deathDay } = entry;
    this.weight += weight;
    this.#risk += weight * entry.risk;
    this.#lived += weight * Math.min(deathDay, this.#limit) / daysPerYear;
    put(this.#death, deathDay, weight);
    put(this.#riskLeaving, deathDay, weight * entry.risk);
    if (deathDay <= entry.lastContactDay) put(this.#seenDeath, deathDay, weight);
    put(this.#seenLeaving, Math.min(deathDay, entry.lastContactDay), weight);
    put(this.#reoperation, entry.reoperationDay, weight);
    put(this.#failure, entry.failureDay, weight);
    put(this.#reoperationLeaving, Math.min(entry.reoperationDay, deathDay), weight);
    if (!entry.atRisk) {
      this.#residual += weight;
      return;
    }
    this.#atRisk += weight;
    if (entry.onsetDay < entry.competingDay) {
      put(this.#onset, Math.ceil(entry.onsetDay), weight);
    }
    put(this.#found, entry.foundDay, weight);
    put(this.#severeFound, entry.severeFoundDay, weight);
    put(this.#foundLeaving, Math.min(entry.foundDay, entry.competingDay), weight);
  }

  /** Share alive at each horizon (years). */
  survival(horizons: number[]): number[] {
    return this.#upTo(this.#death, this.weight, horizons).map((share) => 1 - share);
  }

  /** Years lived up to the last day of interest. */
  restrictedMean(): number {
    return this.#lived / this.weight;
  }

  /** Share with residual regurgitation at exit. */
  residual(): number {
    return this.#residual / this.weight;
  }

  /** Cumulative incidence at each horizon (years), competing events taken as such. */
  incidence(
    of: "onset" | "found" | "severeFound" | "reoperation" | "failure",
    horizons: number[],
  ): number[] {
    switch (of) {
      case "onset":
        return this.#upTo(this.#onset, this.#atRisk, horizons);
      case "found":
        return this.#upTo(this.#found, this.#atRisk, horizons);
      case "severeFound":
        return this.#upTo(this.#severeFound, this.#atRisk, horizons);
      case "reoperation":
        return this.#upTo(this.#reoperation, this.weight, horizons);
      case "failure":
        return this.#upTo(this.#failure, this.weight, horizons);
    }
  }

  /** Limits of hazard ratios of this group against another. */
  hazardRatios(other: Tally): Record<string, Record<string, Raw>> {
    const ratio = (of: (tally: Tally) => Parameters<typeof hazardLimit>[0]) => ({
      logRatio: hazardLimit(of(this), of(other)),
    });
    return {
      death: {
        marginal: ratio((t) => ({ total: t.weight, event: t.#death, leaving: t.#death })),
        marginalAsFollowed: ratio((t) => ({
          total: t.weight,
          event: t.#seenDeath,
          leaving: t.#seenLeaving,
        })),
        givenPrognosis: ratio((t) => ({
          total: t.#risk,
          event: t.#death,
          leaving: t.#riskLeaving,
        })),
      },
      recurrenceFound: {
        causeSpecific: ratio((t) => ({
          total: t.#atRisk,
          event: t.#found,
          leaving: t.#foundLeaving,
        })),
        subdistribution: ratio((t) => ({
          total: t.#atRisk,
          event: t.#found,
          leaving: t.#found,
        })),
      },
      reoperation: {
        causeSpecific: ratio((t) => ({
          total: t.weight,
          event: t.#reoperation,
          leaving: t.#reoperationLeaving,
        })),
        subdistribution: ratio((t) => ({
          total: t.weight,
          event: t.#reoperation,
          leaving: t.#reoperation,
        })),
      },
    };
  }

  #upTo(counts: Float64Array, total: number, horizons: number[]): number[] {
    return horizons.map((years) => {
      let sum = 0;
      for (let day = 0; day <= Math.floor(years * daysPerYear); day++) sum += counts[day]!;
      return sum / total;
    });
  }
}

function put(counts: Float64Array, day: number, weight: number): void {
  if (day < counts.length) counts[day]! += weight;
}
