import type { ConditionalHazard } from "./conditional-hazard.ts";
import type { HazardGradient } from "./model-influence.ts";
import type { RiskNodes } from "./risk-nodes.ts";

/** Survival that a hazard predicts for each row over its first event times. */
export function predictedSurvival(
  { increment, risk }: ConditionalHazard,
  places: number,
  { ranges, alone }: RiskNodes,
): Float64Array {
  const predicted = new Float64Array(risk.length);
  for (const { nodes, rows, share } of ranges) {
    const at = nodes.map((r) => productOf(increment, places, r));
    spread(at, { rows, share }, predicted);
  }
  for (const i of alone) predicted[i] = productOf(increment, places, risk[i]!);
  return predicted;
}

function productOf(increment: Float64Array, places: number, risk: number): number {
  let product = 1;
  for (let u = 0; u < places; u++) product *= Math.max(0, 1 - increment[u]! * risk);
  return product;
}

/** Adds to each row of a range the value that the nodes' values make of it. */
function spread(
  at: Float64Array,
  { rows, share }: { rows: Int32Array; share: Float64Array },
  into: Float64Array,
): void {
  const order = at.length;
  for (let k = 0; k < rows.length; k++) {
    let sum = 0;
    for (let c = 0; c < order; c++) sum += share[k * order + c]! * at[c]!;
    into[rows[k]!]! += sum;
  }
}

/**
 * How a sum over rows of h times predicted survival changes with the hazard, added to `gradient`.
 *
 * Rows with a predicted survival of 0 change nothing.
 */
export function addGradientOfPredicted(
  gradient: HazardGradient,
  { increment, risk, columns }: ConditionalHazard,
  { ranges, alone }: RiskNodes,
  { h, predicted }: { h: Float64Array; predicted: Float64Array },
): void {
  const places = gradient.increment.length;
  const exposed = new Float64Array(risk.length);
  for (const { nodes, rows, share } of ranges) {
    const order = nodes.length;
    const part = new Float64Array(order);
    const whole = new Float64Array(order);
    for (let k = 0; k < rows.length; k++) {
      const i = rows[k]!;
      const own = h[i]! * predicted[i]! * risk[i]!;
      for (let c = 0; c < order; c++) part[c]! += own * share[k * order + c]!;
    }
    for (let c = 0; c < order; c++) {
      let sum = 0;
      for (let u = 0; u < places; u++) {
        const left = 1 / (1 - increment[u]! * nodes[c]!);
        gradient.increment[u]! -= part[c]! * left;
        sum += increment[u]! * left;
      }
      whole[c] = sum;
    }
    spread(whole, { rows, share }, exposed);
    for (const i of rows) exposed[i]! *= h[i]! * predicted[i]! * risk[i]!;
  }
  for (const i of alone) {
    const own = h[i]! * predicted[i]! * risk[i]!;
    if (own === 0) continue;
    let sum = 0;
    for (let u = 0; u < places; u++) {
      const part = own / (1 - increment[u]! * risk[i]!);
      gradient.increment[u]! -= part;
      sum += part * increment[u]!;
    }
    exposed[i] = sum;
  }
  for (let j = 0; j < columns.length; j++) {
    const column = columns[j]!;
    let sum = 0;
    for (let i = 0; i < risk.length; i++) sum += exposed[i]! * column[i]!;
    gradient.coefficient[j]! -= sum;
  }
}
