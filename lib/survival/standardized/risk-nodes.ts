import type { ConditionalHazard } from "./conditional-hazard.ts";

/**
 * A few risks that stand for those of all rows: what is a smooth function of a row's risk is worked
 * out at them alone, and known in between as a polynomial.
 *
 * Survival predicted at one time is such a function: a product over event times of 1 - increment *
 * risk, the same for all rows but for the risk. So n rows and m event times cost some tens of m and
 * of n, in place of n m.
 */
export interface RiskNodes {
  /** Ranges of risk with rows in them. */
  ranges: RiskRange[];
  /** Rows that are worked out by themselves: risks so high, or so rare, that no range has them. */
  alone: Int32Array;
}

/** Rows whose risks lie in one range. */
export interface RiskRange {
  /** Risks that the others are made of. */
  nodes: Float64Array;
  /** Ascending. */
  rows: Int32Array;
  /** What each node counts in each row, rows x nodes: in all 1 a row. */
  share: Float64Array;
}

/** Nodes a range: errors of the polynomial then lie below 1e-15 of what it stands for. */
const ORDER = 16;

/**
 * Ranges so narrow that survival, whatever the time from which it counts, changes by less than a
 * factor of e^3 within one, and that lie so low that no increment comes near to 1 / risk, where it
 * falls to 0.
 *
 * @param places How many event times there are up to the time asked about.
 * @param rows Those wanted, ascending; default all.
 * @see Trefethen (2013) Approximation Theory and Approximation Practice, ch. 5 and 8.
 */
export function riskNodes(
  { increment, risk }: Pick<ConditionalHazard, "increment" | "risk">,
  places: number,
  rows: ArrayLike<number> = risk.keys().toArray(),
): RiskNodes {
  let largest = 0;
  let sum = 0;
  for (let u = 0; u < places; u++) {
    sum += increment[u]!;
    if (increment[u]! > largest) largest = increment[u]!;
  }
  const width = Math.min(1.5 / sum, 0.25 / largest);
  const members = new Map<number, number[]>();
  const alone: number[] = [];
  for (let k = 0; k < rows.length; k++) {
    const i = rows[k]!;
    const range = Math.floor(risk[i]! / width);
    if (!((range + 1) * width * largest <= 0.5)) {
      alone.push(i);
      continue;
    }
    const own = members.get(range);
    if (own) own.push(i);
    else members.set(range, [i]);
  }
  const ranges: RiskRange[] = [];
  for (const [range, own] of members) {
    if (own.length > 2 * ORDER) ranges.push(rangeOf(range * width, width, own, risk));
    else for (const i of own) alone.push(i);
  }
  return { ranges, alone: Int32Array.from(alone).sort() };
}

const points = Float64Array.from(
  { length: ORDER },
  (_, c) => Math.cos(Math.PI * (c + 0.5) / ORDER),
);
const signs = Float64Array.from(
  { length: ORDER },
  (_, c) => (c % 2 === 0 ? 1 : -1) * Math.sin(Math.PI * (c + 0.5) / ORDER),
);

/** Barycentric weights at Chebyshev's points. */
function rangeOf(from: number, width: number, own: number[], risk: Float64Array): RiskRange {
  const rows = Int32Array.from(own);
  const share = new Float64Array(rows.length * ORDER);
  for (let k = 0; k < rows.length; k++) {
    const x = 2 * (risk[rows[k]!]! - from) / width - 1;
    let total = 0;
    let exact = -1;
    for (let c = 0; c < ORDER; c++) {
      const apart = x - points[c]!;
      if (apart === 0) exact = c;
      const part = signs[c]! / apart;
      share[k * ORDER + c] = part;
      total += part;
    }
    for (let c = 0; c < ORDER; c++) {
      if (exact < 0) share[k * ORDER + c]! /= total;
      else share[k * ORDER + c] = c === exact ? 1 : 0;
    }
  }
  return { nodes: points.map((x) => from + (x + 1) / 2 * width), rows, share };
}
