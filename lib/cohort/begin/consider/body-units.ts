import type { ColumnProfile } from "../../propose/mod.ts";

type Read = Pick<ColumnProfile, "heading" | "sample">;

/** A unit, and whether heading and values leave no doubt about it. */
export interface ReadUnit<Unit extends string> {
  unit: Unit;
  sure: boolean;
}

const heights = { m: [1, 2.5], in: [40, 90], cm: [100, 250] } as const;

/** The unit of heights, by their values: no adult is as many inches tall as metres or cm. */
export function heightUnit({ heading, sample }: Read): ReadUnit<keyof typeof heights> {
  const median = middleOf(sample);
  const unit = median <= heights.m[1] ? "m" : median <= heights.in[1] ? "in" : "cm";
  const stated = statedIn(heading, {
    cm: /cms?|centimet(re|er)s?/,
    m: /m|met(re|er)s?/,
    in: /in|inch(es)?/,
  });
  return { unit, sure: allWithin(sample, heights[unit]) && (stated ?? unit) === unit };
}

const weights = { kg: [25, 250], lb: [55, 550] } as const;

// common practice, no source: the median of a centre's patients lies between 60 and 95 kg
const mostKilograms = 110;

/** The unit of weights, by their heading, else by their median, which leaves a doubt. */
export function weightUnit({ heading, sample }: Read): ReadUnit<keyof typeof weights> {
  const stated = statedIn(heading, { kg: /kgs?|kilo(gram)?s?/, lb: /lbs?|pounds?/ });
  const likely = middleOf(sample) > mostKilograms ? "lb" : "kg";
  const unit = stated ?? likely;
  const isSure = stated === undefined ? likely === "kg" : stated === likely;
  return { unit, sure: isSure && allWithin(sample, weights[unit]) };
}

/** The unit that a heading names, as a word of its own; of "height in m" the later one. */
function statedIn<Unit extends string>(
  heading: string,
  units: Record<Unit, RegExp>,
): Unit | undefined {
  const words = heading.toLowerCase().split(/[^\p{L}]+/u).filter((word) => word !== "");
  return (Object.keys(units) as Unit[]).find((unit) =>
    words.slice(1).some((word) => new RegExp(`^(${units[unit].source})$`).test(word))
  );
}

function allWithin(sample: Float64Array, [least, most]: readonly [number, number]): boolean {
  const out = sample.filter((value) => value < least || value > most).length;
  return out <= 0.01 * sample.length;
}

/** The upper median of values in their order; NaN of none. */
export function middleOf(sample: Float64Array): number {
  return sample[sample.length >> 1] ?? NaN;
}
