import type { FollowUpColumns } from "../../numerics/mod.ts";

/** Incidence of one cause by the horizon on each side (0, 1) of a line through one group's rows. */
export interface SideIncidence {
  estimate: Float64Array;
  /** By the infinitesimal jackknife, weights taken as known. */
  variance: Float64Array;
  /** Rows with the cause by the horizon. */
  events: Int32Array;
  /** Effective number still at risk after the horizon. */
  beyond: Float64Array;
  /** Probability of no event of any cause by the horizon. */
  eventFree: Float64Array;
}

/**
 * One group's follow-up, laid out so that the incidence on either side of a line can be worked out
 * over and over for other lines: O(n) each, nothing sorted or allocated anew.
 *
 * Estimates and variances are those of `incidenceInfluence`; past the last observed time the
 * estimate stays where it is.
 */
export class SidedFollowUp {
  readonly n: number;
  /** Row of each place, by ascending time. */
  readonly #rows: Uint32Array;
  /** Distinct time of each place; `#steps` beyond the horizon. */
  readonly #step: Int32Array;
  /** First distinct time at which the place is at risk. */
  readonly #entryStep: Int32Array;
  /** 0 censored, 1 the cause, 2 another. */
  readonly #kind: Uint8Array;
  readonly #weight: Float64Array;
  readonly #steps: number;
  readonly #risk: Float64Array;
  readonly #failing: Float64Array;
  readonly #own: Float64Array;
  readonly #rowsAtRisk: Int32Array;
  readonly #rowsFailing: Int32Array;
  readonly #before: Float64Array;
  readonly #reached: Float64Array;
  readonly #sum: Float64Array;
  readonly #found: SideIncidence = {
    estimate: new Float64Array(2),
    variance: new Float64Array(2),
    events: new Int32Array(2),
    beyond: new Float64Array(2),
    eventFree: new Float64Array(2),
  };

  constructor(columns: FollowUpColumns, cause: number, horizon: number) {
    const { n, sortedTime, order, event, entry, weight } = columns;
    this.n = n;
    this.#rows = order;
    this.#step = new Int32Array(n);
    this.#entryStep = new Int32Array(n);
    this.#kind = Uint8Array.from(order, (row) => {
      const code = event[row]!;
      return code === 0 ? 0 : code === cause ? 1 : 2;
    });
    this.#weight = Float64Array.from(order, (row) => weight ? weight[row]! : 1);
    const times: number[] = [];
    for (let place = 0; place < n; place++) {
      const t = sortedTime[place]!;
      if (t <= horizon && t !== times.at(-1)) times.push(t);
      this.#step[place] = t <= horizon ? times.length - 1 : -1;
    }
    const steps = times.length;
    this.#steps = steps;
    for (let place = 0; place < n; place++) {
      if (this.#step[place]! < 0) this.#step[place] = steps;
      if (!entry) continue;
      const from = entry[order[place]!]!;
      let low = 0;
      let high = steps;
      while (low < high) {
        const middle = (low + high) >>> 1;
        if (times[middle]! > from) high = middle;
        else low = middle + 1;
      }
      this.#entryStep[place] = low;
    }
    const size = 2 * (steps + 1);
    this.#risk = new Float64Array(size);
    this.#failing = new Float64Array(size);
    this.#own = new Float64Array(size);
    this.#rowsAtRisk = new Int32Array(size);
    this.#rowsFailing = new Int32Array(size);
    this.#before = new Float64Array(size);
    this.#reached = new Float64Array(size);
    this.#sum = new Float64Array(size);
  }

  /** Events of the cause by the horizon. */
  get events(): number {
    let count = 0;
    for (let place = 0; place < this.n; place++) {
      if (this.#kind[place] === 1 && this.#step[place]! < this.#steps) count++;
    }
    return count;
  }

  /** The side (0 or 1) of each place, from that of each row. */
  placed(sideOfRow: ArrayLike<number>): Uint8Array {
    return Uint8Array.from(this.#rows, (row) => sideOfRow[row]!);
  }

  /**
   * @param side Of each place.
   * @returns The same object each time, written over by the next call.
   */
  estimate(side: Uint8Array): SideIncidence {
    this.#count(side);
    for (const s of [0, 1]) this.#walk(s * (this.#steps + 1), s);
    this.#spread(side);
    return this.#found;
  }

  #count(side: Uint8Array): void {
    const steps = this.#steps;
    const [risk, failing, own] = [this.#risk.fill(0), this.#failing.fill(0), this.#own.fill(0)];
    const rowsAtRisk = this.#rowsAtRisk.fill(0);
    const rowsFailing = this.#rowsFailing.fill(0);
    const { events, beyond } = this.#found;
    events.fill(0);
    const squares = [0, 0];
    beyond.fill(0);
    for (let place = 0; place < this.n; place++) {
      const s = side[place]!;
      const base = s * (steps + 1);
      const step = this.#step[place]!;
      const w = this.#weight[place]!;
      // at risk from the entry's step to its own: marked at both ends, summed below
      const from = this.#entryStep[place]!;
      if (step < steps) {
        risk[base + step]! += w;
        rowsAtRisk[base + step]!++;
        if (this.#kind[place]! > 0) {
          failing[base + step]! += w;
          rowsFailing[base + step]!++;
          if (this.#kind[place] === 1) {
            own[base + step]! += w;
            events[s]!++;
          }
        }
      } else {
        risk[base + steps]! += w;
        rowsAtRisk[base + steps]!++;
        beyond[s]! += w;
        squares[s]! += w * w;
      }
      if (from > 0) {
        risk[base + from - 1]! -= w;
        rowsAtRisk[base + from - 1]!--;
      }
    }
    for (const s of [0, 1]) {
      const base = s * (steps + 1);
      for (let j = steps - 1; j >= 0; j--) {
        risk[base + j]! += risk[base + j + 1]!;
        rowsAtRisk[base + j]! += rowsAtRisk[base + j + 1]!;
      }
      beyond[s] = squares[s]! > 0 ? beyond[s]! ** 2 / squares[s]! : 0;
    }
  }

  /** The estimate of one side, and at each time the influence of having been at risk till then. */
  #walk(base: number, s: number): void {
    const steps = this.#steps;
    let free = 1;
    let reached = 0;
    for (let k = base; k < base + steps; k++) {
      this.#before[k] = free;
      if (this.#rowsFailing[k]! > 0) {
        const n = this.#risk[k]!;
        reached += free * this.#own[k]! / n;
        free = this.#rowsFailing[k] === this.#rowsAtRisk[k]
          ? 0
          : free * (n - this.#failing[k]!) / n;
      }
      this.#reached[k] = reached;
    }
    this.#found.estimate[s] = reached;
    this.#found.eventFree[s] = free;
    let sum = 0;
    for (let k = base; k < base + steps; k++) {
      if (this.#rowsFailing[k]! > 0) {
        const n = this.#risk[k]!;
        if (this.#rowsFailing[k]! < this.#rowsAtRisk[k]!) {
          sum += (reached - this.#reached[k]!) * this.#failing[k]! / (n * (n - this.#failing[k]!));
        }
        sum -= this.#before[k]! * this.#own[k]! / (n * n);
      }
      this.#sum[k] = sum;
    }
    this.#sum[base + steps] = sum;
  }

  #spread(side: Uint8Array): void {
    const steps = this.#steps;
    const { estimate, variance } = this.#found;
    variance.fill(0);
    for (let place = 0; place < this.n; place++) {
      const s = side[place]!;
      const base = s * (steps + 1);
      const step = this.#step[place]!;
      const from = this.#entryStep[place]!;
      const k = base + step;
      let influence = this.#sum[k]! - (from > 0 ? this.#sum[base + from - 1]! : 0);
      if (step < steps && this.#kind[place]! > 0) {
        const n = this.#risk[k]!;
        if (this.#rowsFailing[k]! < this.#rowsAtRisk[k]!) {
          influence -= (estimate[s]! - this.#reached[k]!) / (n - this.#failing[k]!);
        }
        if (this.#kind[place] === 1) influence += this.#before[k]! / n;
      }
      const own = this.#weight[place]! * influence;
      variance[s]! += own * own;
    }
  }
}
