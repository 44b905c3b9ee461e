import type { ConditionalHazard } from "./conditional-hazard.ts";
import type { HazardGradient } from "./model-influence.ts";
import type { RiskRange } from "./risk-nodes.ts";

/** What the residuals of a hazard's rows are added up from. */
export interface ResidualCourse {
  /** Chance, the same for all rows, of not having been censored before each event time. */
  followed: Float64Array;
  /** Of each row: event times, up to the time asked about, at which it was at risk. */
  reached: Int32Array;
  /** Of each row: 1 where it has the event at the last of them. */
  happened: Uint8Array;
}

/** One node's course over the event times. */
interface NodeCourse {
  /** Survival from each event time to the end, over the chance of having been followed so far. */
  after: Float64Array;
  /** Integral of the expected part of the residual before each event time, and to the end. */
  expected: Float64Array;
}

function fill(
  { after, expected }: NodeCourse,
  { increment, followed }: Pick<ConditionalHazard, "increment"> & ResidualCourse,
  risk: number,
): void {
  const places = followed.length;
  let product = 1;
  for (let u = places - 1; u >= 0; u--) {
    after[u] = product / followed[u]!;
    product *= 1 - increment[u]! * risk;
  }
  let sum = 0;
  for (let u = 0; u < places; u++) {
    expected[u] = sum;
    sum += increment[u]! * risk * after[u]!;
  }
  expected[places] = sum;
}

function emptyCourse(places: number): NodeCourse {
  return { after: new Float64Array(places), expected: new Float64Array(places + 1) };
}

/** Adds the residual of each row of a range. */
export function addResiduals(
  residual: Float64Array,
  { increment }: ConditionalHazard,
  course: ResidualCourse,
  { nodes, rows, share }: RiskRange,
): void {
  const { reached, happened } = course;
  const node = emptyCourse(course.followed.length);
  for (let c = 0; c < nodes.length; c++) {
    fill(node, { increment, ...course }, nodes[c]!);
    for (let k = 0; k < rows.length; k++) {
      const i = rows[k]!;
      residual[i]! += share[k * nodes.length + c]! * residualOf(node, reached[i]!, happened[i]!);
    }
  }
}

function residualOf({ after, expected }: NodeCourse, reached: number, happened: number): number {
  return expected[reached]! - (happened === 1 ? after[reached - 1]! : 0);
}

/**
 * How the sum of w times residual over the rows of a range changes with the hazard, and, in
 * `atCensoring`, with the cumulative hazard of censoring up to each event time.
 */
export function addGradientOfResiduals(
  { gradient, atCensoring }: { gradient: HazardGradient; atCensoring: Float64Array },
  { increment, risk, columns }: ConditionalHazard,
  course: ResidualCourse,
  { nodes, rows, share }: RiskRange,
  w: Float64Array,
): void {
  const { reached, happened, followed } = course;
  const places = followed.length;
  const order = nodes.length;
  const node = emptyCourse(places);
  const exposed = new Float64Array(rows.length);
  // by event times reached: weights of rows that are still at risk, and residuals that are complete
  const risky = new Float64Array(places + 1);
  const complete = new Float64Array(places + 1);
  const weighed = new Float64Array(places + 1);
  const events = new Float64Array(places + 1);
  // exposure to the increments, of rows at risk before an event time and of residuals after it
  const within = new Float64Array(places + 1);
  const past = new Float64Array(places + 1);
  for (let c = 0; c < order; c++) {
    const r = nodes[c]!;
    fill(node, { increment, ...course }, r);
    const { after, expected } = node;
    for (const sums of [risky, complete, weighed, events]) sums.fill(0);
    for (let k = 0; k < rows.length; k++) {
      const i = rows[k]!;
      const until = reached[i]!;
      const own = w[i]! * share[k * order + c]!;
      risky[until]! += own * risk[i]!;
      complete[until]! += own * risk[i]! * residualOf(node, until, happened[i]!);
      weighed[until]! += own;
      if (happened[i] === 1) events[until - 1]! += own;
    }
    let sum = 0;
    for (let u = 0; u < places; u++) {
      within[u] = sum;
      sum += increment[u]! * (after[u]! - expected[u]! / (1 - increment[u]! * r));
    }
    within[places] = sum;
    past[places] = 0;
    let [still, weight] = [risky[places]!, weighed[places]!];
    for (let u = places - 1; u >= 0; u--) {
      const left = 1 / (1 - increment[u]! * r);
      past[u] = past[u + 1]! + increment[u]! * left;
      gradient.increment[u]! += still * (after[u]! - expected[u]! * left);
      atCensoring[u]! += (weight * increment[u]! * r - events[u]!) * after[u]!;
      still += risky[u]!;
      weight += weighed[u]!;
    }
    let done = 0;
    for (let u = 0; u < places; u++) {
      done += complete[u]!;
      gradient.increment[u]! -= done / (1 - increment[u]! * r);
    }
    for (let k = 0; k < rows.length; k++) {
      const i = rows[k]!;
      const until = reached[i]!;
      exposed[k]! += share[k * order + c]! *
        (within[until]! - residualOf(node, until, happened[i]!) * past[until]!);
    }
  }
  for (let k = 0; k < rows.length; k++) exposed[k]! *= w[rows[k]!]! * risk[rows[k]!]!;
  for (let j = 0; j < columns.length; j++) {
    const column = columns[j]!;
    let sum = 0;
    for (let k = 0; k < rows.length; k++) sum += exposed[k]! * column[rows[k]!]!;
    gradient.coefficient[j]! += sum;
  }
}
