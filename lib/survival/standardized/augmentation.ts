import type { FollowUpColumns } from "../../numerics/mod.ts";
import { lastAtMost } from "../curve/mod.ts";
import type { ConditionalHazard } from "./conditional-hazard.ts";
import { type HazardGradient, noGradient } from "./model-influence.ts";
import { addGradientOfPredicted, predictedSurvival } from "./predicted-survival.ts";
import { addGradientOfResiduals, addResiduals, type ResidualCourse } from "./residual-by-nodes.ts";
import { riskNodes } from "./risk-nodes.ts";

/** Predicted survival at one time, and what the rows fitted show of the prediction's errors. */
export interface Augmentation {
  predicted: Float64Array;
  residual: Float64Array;
  /** Rows whose predicted survival fell to 0 or below at some step, and was taken as 0. */
  fellBelow: number;
  /**
   * Derivatives of sum of h predicted + sum of w residual in the event and the censoring model, w
   * being 0 but in the rows fitted.
   */
  gradients(h: Float64Array, w: Float64Array): {
    event: HazardGradient;
    censoring: HazardGradient;
  };
}

/**
 * Predicted survival at t of every row, and of the rows fitted minus the integral of the residual
 * process: -S(t) dM(u) / (S(u) G(u-)) added up. S(t) / S(u) is a product over the times between, so
 * that a survival of 0 divides nothing.
 *
 * Where all rows are as likely to be censored, a residual is a function of risk and last event time
 * alone, and what rows of like risk share is worked out once.
 */
export function augmentation(
  { n, time, event }: FollowUpColumns,
  hazard: ConditionalHazard,
  censoring: ConditionalHazard,
  t: number,
): Augmentation {
  const places = lastAtMost(hazard.time, t) + 1;
  // censoring times before each event time, and the cumulative hazard of them
  const earlier = new Int32Array(places);
  const before = new Float64Array(places);
  let cumulative = 0;
  for (let u = 0, c = 0; u < places; u++) {
    while (c < censoring.time.length && censoring.time[c]! < hazard.time[u]!) {
      cumulative += censoring.increment[c++]!;
    }
    earlier[u] = c;
    before[u] = cumulative;
  }
  const everybody = riskNodes(hazard, places);
  const predicted = predictedSurvival(hazard, places, everybody);
  let fellBelow = 0;
  for (let i = 0; i < n; i++) if (predicted[i] === 0) fellBelow++;
  const fitted = censoring.columns.length === 0
    ? riskNodes(hazard, places, hazard.rows)
    : { ranges: [], alone: hazard.rows };
  // S(t) / S(u), and what each event time adds to the residual, of one row
  const after = new Float64Array(places);
  const parts = new Float64Array(places);
  const fill = (i: number): number => {
    const own = Math.min(places, lastAtMost(hazard.time, time[i]!) + 1);
    let product = 1;
    for (let u = places - 1; u >= 0; u--) {
      const h = Math.min(1, hazard.increment[u]! * hazard.risk[i]!);
      after[u] = product;
      const happened = event[i]! > 0 && hazard.time[u] === time[i] ? 1 : 0;
      parts[u] = u < own
        ? product * (h - happened) / Math.exp(-censoring.risk[i]! * before[u]!)
        : 0;
      product *= 1 - h;
    }
    return own;
  };
  const residual = new Float64Array(n);
  const course = courseOf({ time, event }, hazard, before.map((sum) => Math.exp(-sum)));
  for (const range of fitted.ranges) addResiduals(residual, hazard, course, range);
  for (const i of fitted.alone) {
    fill(i);
    let sum = 0;
    for (let u = places - 1; u >= 0; u--) sum += parts[u]!;
    residual[i] = sum;
  }

  const gradients = (h: Float64Array, w: Float64Array) => {
    const toEvent = noGradient(hazard, places);
    const toCensoring = noGradient(censoring, places > 0 ? earlier[places - 1]! : 0);
    const atCensoring = new Float64Array(places + 1); // by the event time up to which it counts
    const own = new Float64Array(places);
    const addEvent = (i: number) => {
      let exposed = 0;
      for (let u = 0; u < places; u++) {
        toEvent.increment[u]! += own[u]! * hazard.risk[i]!;
        exposed += own[u]! * hazard.risk[i]! * hazard.increment[u]!;
      }
      hazard.columns.forEach((x, j) => toEvent.coefficient[j]! += exposed * x[i]!);
    };
    addGradientOfPredicted(toEvent, hazard, everybody, { h, predicted });
    for (const range of fitted.ranges) {
      addGradientOfResiduals({ gradient: toEvent, atCensoring }, hazard, course, range, w);
    }
    for (const i of fitted.alone) {
      if (w[i] === 0) continue;
      const reached = fill(i);
      let sum = 0;
      let weighted = 0;
      for (let u = 0; u < places; u++) {
        const left = 1 - hazard.increment[u]! * hazard.risk[i]!;
        const g = Math.exp(-censoring.risk[i]! * before[u]!);
        own[u] = w[i]! * ((u < reached ? after[u]! / g : 0) - (left > 0 ? sum / left : 0));
        sum += parts[u]!;
        const byCensoring = w[i]! * censoring.risk[i]! * parts[u]!;
        atCensoring[u]! += byCensoring;
        weighted += byCensoring * before[u]!;
      }
      addEvent(i);
      censoring.columns.forEach((x, j) => toCensoring.coefficient[j]! += weighted * x[i]!);
    }
    // a censoring time counts at every event time after it
    let later = 0;
    for (let c = toCensoring.increment.length - 1, u = places - 1; c >= 0; c--) {
      for (; u >= 0 && earlier[u]! > c; u--) later += atCensoring[u]!;
      toCensoring.increment[c] = later;
    }
    return { event: toEvent, censoring: toCensoring };
  };
  return { predicted, residual, fellBelow, gradients };
}

function courseOf(
  { time, event }: Pick<FollowUpColumns, "time" | "event">,
  hazard: ConditionalHazard,
  followed: Float64Array,
): ResidualCourse {
  const reached = new Int32Array(time.length);
  const happened = new Uint8Array(time.length);
  for (const i of hazard.rows) {
    const last = Math.min(followed.length, lastAtMost(hazard.time, time[i]!) + 1);
    reached[i] = last;
    if (last > 0 && event[i]! > 0 && hazard.time[last - 1] === time[i]) happened[i] = 1;
  }
  return { followed, reached, happened };
}
