import { countText, formatNumber, formatPercent } from "../../words/mod.ts";
import { momentsOf, orderOf, weightedQuantiles } from "../../numerics/mod.ts";
import { type PublishableLevels, publishableLevels } from "./publishable-levels.ts";
import type { StudyCovariate } from "../score/mod.ts";

/** Some patients: those with a weight above 0. */
export interface Described {
  weight: Float64Array;
  /** Which of the group's counts these are. A weighted sample is of the whole. */
  part: keyof PublishableLevels;
  /** Whether weights are other than 0 and 1, so that counts mean nothing and shares are given. */
  weighted: boolean;
}

/** One column of some patients, as text ready to print. */
export interface Description {
  /** Of a number or a 0/1 column; "" for a category. */
  main: string;
  /** Of each level of a category. */
  levels: string[];
  /** How many have no value, of those the column applies to; "" in a weighted sample. */
  missing: string;
  /** Whether anything was withheld. */
  withheld: boolean;
}

/** What is printed where there is nothing to print. */
export const nothing = "–";

/**
 * Which counts of a column may be published, of one group: see {@link publishableLevels}.
 *
 * @param group Weights of the group's patients, and of those matched, where a table tells of them.
 * @param group.outside Whether those the column does not apply to are counted elsewhere as well, so
 * that the counts must not give away how few they are.
 */
export function publishableColumn(
  covariate: StudyCovariate,
  group: { whole: Float64Array; matched?: Float64Array; outside?: boolean },
  smallest: number,
): PublishableLevels {
  const { whole, matched, outside = false } = group;
  const counted = (weight: Float64Array) => {
    const { counts, elsewhere } = tally(covariate, weight);
    return outside ? [...counts.slice(0, -1), elsewhere, counts.at(-1)!] : counts;
  };
  return publishableLevels({
    whole: counted(whole),
    ...(matched ? { matched: counted(matched) } : {}),
  }, smallest);
}

/**
 * Describes a column: number as mean (SD) or median [quartiles], 0/1 as the count of 1 with its
 * share, category by level; shares are of those with a value, in whole percent so that they do not
 * give small counts away. What may not be published is "–".
 */
export function describe(
  covariate: StudyCovariate,
  sample: Described,
  { levels, smallest }: { levels: PublishableLevels; smallest: number },
): Description {
  const { kind } = covariate;
  const { weight, weighted } = sample;
  const own = tally(covariate, weight);
  const shown = levels[sample.part];
  const withheld = shown.includes(false);
  const missing = weighted ? "" : shown.at(-1) ? String(own.counts.at(-1)) : nothing;
  if (kind === "number") {
    const few = own.known < smallest;
    return { main: few ? nothing : numberText(covariate, weight), levels: [], missing, withheld };
  }
  const texts = own.sums.map((sum, k) => {
    if (!shown[k]) return nothing;
    const share = own.total > 0 ? formatPercent(sum / own.total, { digits: 0 }) : nothing;
    return weighted ? share : `${own.counts[k]} (${share})`;
  });
  return {
    main: kind === "binary" ? texts[1]! : "",
    levels: kind === "binary" ? [] : texts,
    missing,
    withheld,
  };
}

/**
 * Patients and weight of each value, and last those missing; a number has one "value". Patients the
 * column does not apply to are `elsewhere`.
 */
function tally(covariate: StudyCovariate, weight: Float64Array) {
  const { kind, present, applies, values, levels } = covariate;
  const size = kind === "category" ? levels.length : kind === "binary" ? 2 : 1;
  const counts: number[] = Array(size + 1).fill(0);
  const sums: number[] = Array(size).fill(0);
  let known = 0;
  let total = 0;
  let elsewhere = 0;
  for (let i = 0; i < weight.length; i++) {
    if (!(weight[i]! > 0)) continue;
    if (!applies[i]) {
      elsewhere++;
      continue;
    }
    const value = present[i] ? kind === "number" ? 0 : values[i]! : size;
    counts[value]!++;
    if (!present[i]) continue;
    known++;
    total += weight[i]!;
    sums[value]! += weight[i]!;
  }
  return { counts, sums, known, total, elsewhere };
}

function numberText(covariate: StudyCovariate, weight: Float64Array): string {
  const { present, values, form } = covariate;
  const rows: number[] = [];
  present.forEach((has, i) => {
    if (has && weight[i]! > 0) rows.push(i);
  });
  const column = Float64Array.from(rows, (row) => values[row]!);
  const share = Float64Array.from(rows, (row) => weight[row]!);
  if (form === "median") {
    const order = orderOf(column);
    const sorted = Float64Array.from(order, (i) => column[i]!);
    const sortedShare = Float64Array.from(order, (i) => share[i]!);
    const [low, middle, high] = weightedQuantiles(sorted, sortedShare, [0.25, 0.5, 0.75]);
    const whole = [low, middle, high].every(Number.isInteger);
    const digits = whole ? 0 : digitsFor(high! - low!);
    return `${fixed(middle!, digits)} [${fixed(low!, digits)} to ${fixed(high!, digits)}]`;
  }
  const { mean, variance } = momentsOf(column, { weight: share });
  const spread = Math.sqrt(variance);
  const digits = digitsFor(spread);
  return `${fixed(mean, digits)} (${fixed(spread, digits)})`;
}

/** None for spreads from 100 up, one from 1, two from 0.1, three below. */
function digitsFor(spread: number): number {
  return spread >= 100 ? 0 : spread >= 1 || spread === 0 ? 1 : spread >= 0.1 ? 2 : 3;
}

function fixed(value: number, digits: number): string {
  return formatNumber(value, { digits, grouped: false }); // a year has no comma
}

/** How many a column speaks of, in one piece however narrow its heading is. */
export function sizeText(count: number): string {
  return `(n\u00a0=\u00a0${countText(count)})`;
}
