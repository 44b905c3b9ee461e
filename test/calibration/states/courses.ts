import { type SeededRandom, transitionRows } from "mitral";

/** Yearly hazards of one kind of patient under one operation. */
export interface Hazards {
  /** Of a recurrence, of a second operation without and after one, of death. */
  recurrence: number;
  again: number;
  againAfter: number;
  death: number;
}

/** One kind of patient: how many of an arm are of it, what one weighs, and its hazards. */
export interface Kind {
  share: number;
  /** Weights are spread evenly between these. */
  weight: [least: number, most: number];
  hazards: Hazards;
}

/** What data are drawn from: two arms of patients of several kinds. */
export interface CourseMix {
  name: string;
  /** Patients of an arm, replacement first. */
  n: [number, number];
  kinds: [Kind[], Kind[]];
  /** Share followed to the horizon; others are lost evenly before. */
  complete: number;
}

/** States in which years are spent, as `transitionRows` names them. */
export const stages = ["operated", "recurrence", "reoperation"] as const;

/** Patients of both arms as rows of time in states, from hazards that are constant. */
export function drawCourses(
  random: SeededRandom,
  { n, kinds, complete }: CourseMix,
  horizon: number,
) {
  const time: number[] = [];
  const death: number[] = [];
  const recurrence: number[] = [];
  const reoperation: number[] = [];
  const weight: number[] = [];
  const group: number[] = [];
  const wait = (hazard: number) => hazard > 0 ? -Math.log(1 - random.uniform()) / hazard : Infinity;
  for (const arm of [0, 1] as const) {
    for (let i = 0; i < n[arm]; i++) {
      const { hazards, weight: [least, most] } = kindOf(kinds[arm], random.uniform());
      const dead = wait(hazards.death);
      const found = wait(hazards.recurrence);
      const first = wait(hazards.again);
      const again = first < found ? first : found + wait(hazards.againAfter);
      const seen = random.uniform() < complete ? horizon : horizon * random.uniform();
      const end = Math.min(dead, seen);
      time.push(end);
      death.push(dead <= seen ? 1 : 0);
      recurrence.push(found < Math.min(end, again) ? found : Infinity);
      reoperation.push(again < end ? again : Infinity);
      weight.push(least + (most - least) * random.uniform());
      group.push(arm);
    }
  }
  const { row, states, ...stays } = transitionRows({
    time,
    death,
    stages: { recurrence, reoperation },
  });
  const pick = (values: readonly number[]) => Array.from(row, (i) => values[i]!);
  return { states, rows: { ...stays, weight: pick(weight), group: pick(group) } };
}

function kindOf(kinds: readonly Kind[], u: number): Kind {
  let from = 0;
  return kinds.find(({ share }) => u < (from += share)) ?? kinds.at(-1)!;
}

/** Mean years of the first `horizon` in each stage, of an arm's kinds as they are weighted. */
export function trueTimes(kinds: readonly Kind[], horizon: number): number[] {
  const sums = stages.map(() => 0);
  let total = 0;
  for (const { share, weight: [least, most], hazards } of kinds) {
    const weight = share * (least + most) / 2;
    total += weight;
    yearsOf(hazards, horizon).forEach((years, k) => sums[k]! += weight * years);
  }
  return sums.map((sum) => sum / total);
}

/** From the Kolmogorov equations, whose solutions are sums of exponentials. */
function yearsOf({ recurrence: a, again: b, againAfter: c, death: d }: Hazards, t: number) {
  const area = (rate: number) => rate > 0 ? -Math.expm1(-rate * t) / rate : t;
  const free = area(a + b + d);
  // in recurrence at s: a (exp(-(c + d) s) - exp(-(a + b + d) s)) / (a + b - c)
  const found = a * (area(c + d) - free) / (a + b - c);
  return [free, found, area(d) - free - found];
}
