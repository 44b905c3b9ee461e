import type { StateTable } from "./state-table.ts";

/**
 * Each subject's weighted influence on the state probabilities at time t, or on their integral from
 * the start to t (subjects x states): w_i dp(t)/dw_i.
 *
 * Someone in state h at t_j moves p(t) by p_h(t_j-)/Y_h (dN_i - dA_h) R_j, with dA_h row h of the
 * increments and R_j the product of the later steps up to t (or its integral). R_j is found
 * backwards once. While at risk without moving the influence of a row in h is the same for all, a
 * cumulative sum over time, so a row takes a difference of two sums and its own transition: O((n +
 * m) s^2) for s states, and no row is visited at any time between.
 */
export function stateInfluence(
  table: StateTable,
  probability: Float64Array,
  t: number,
  what: "probability" | "time",
): Float64Array {
  const { follow, from, to, subject, subjects, time, atRisk, step, initial, starters } = table;
  const s = table.states.length;
  let last = -1;
  while (last + 1 < time.length && time[last + 1]! <= t) last++;
  const later = laterProducts(table, last, t, what);

  // common[j]: per state, the influence of having been at risk up to and including t_j
  const common = new Float64Array((last + 2) * s * s);
  for (let j = 0; j <= last; j++) {
    for (let h = 0; h < s; h++) {
      const into = ((j + 1) * s + h) * s;
      const before = (j * s + h) * s;
      const risk = atRisk[j * s + h]!;
      const reach = j === 0 ? initial[h]! : probability[(j - 1) * s + h]!;
      const row = (j * s + h) * s;
      const moves = risk > 0 && step[row + h] !== 1;
      for (let to = 0; to < s; to++) {
        common[into + to] = common[before + to]!;
        if (!moves) continue;
        let drift = 0;
        for (let k = 0; k < s; k++) {
          const increment = step[row + k]! - (k === h ? 1 : 0);
          drift += increment * later[((j + 1) * s + k) * s + to]!;
        }
        common[into + to]! -= reach / risk * drift;
      }
    }
  }
  const out = new Float64Array(subjects * s);
  for (let i = 0; i < follow.n; i++) {
    const w = follow.weight ? follow.weight[i]! : 1;
    const h = from[i]!;
    const until = through(time, last, follow.time[i]!);
    const since = through(time, last, follow.entry![i]!);
    const base = subject[i]! * s;
    for (let k = 0; k < s; k++) {
      out[base + k]! += w *
        (common[(until * s + h) * s + k]! - common[(since * s + h) * s + k]!);
    }
    const j = until - 1;
    if (to[i]! < 0 || j < 0 || time[j] !== follow.time[i]) continue;
    const reach = (j === 0 ? initial[h]! : probability[(j - 1) * s + h]!) / atRisk[j * s + h]!;
    for (let k = 0; k < s; k++) {
      const gain = later[((j + 1) * s + to[i]!) * s + k]! - later[((j + 1) * s + h) * s + k]!;
      out[base + k]! += w * reach * gain;
    }
  }
  // the shares at the start are estimated too
  for (const i of starters) {
    const w = (follow.weight ? follow.weight[i]! : 1) / table.starting;
    const base = subject[i]! * s;
    for (let k = 0; k < s; k++) {
      let mean = 0;
      for (let h = 0; h < s; h++) mean += initial[h]! * later[h * s + k]!;
      out[base + k]! += w * (later[from[i]! * s + k]! - mean);
    }
  }
  return out;
}

/**
 * later[j]: the product of the steps from the j-th (0-based) to the last, or the integral from the
 * time of step j - 1 (the start, for j = 0) to t of the products up to each moment.
 */
function laterProducts(
  { states, time, step, start }: StateTable,
  last: number,
  t: number,
  what: "probability" | "time",
): Float64Array {
  const s = states.length;
  const later = new Float64Array((last + 2) * s * s);
  const top = (last + 1) * s * s;
  const rest = Math.max(0, t - (last < 0 ? start : time[last]!));
  for (let h = 0; h < s; h++) later[top + h * s + h] = what === "time" ? rest : 1;
  for (let j = last; j >= 0; j--) {
    const wait = what === "time" ? time[j]! - (j === 0 ? start : time[j - 1]!) : 0;
    for (let h = 0; h < s; h++) {
      for (let k = 0; k < s; k++) {
        let sum = h === k ? wait : 0;
        for (let l = 0; l < s; l++) {
          sum += step[(j * s + h) * s + l]! * later[((j + 1) * s + l) * s + k]!;
        }
        later[(j * s + h) * s + k] = sum;
      }
    }
  }
  return later;
}

/** How many of the first last + 1 times are at most t. */
function through(time: Float64Array, last: number, t: number): number {
  let low = 0;
  let high = last + 1;
  while (low < high) {
    const middle = (low + high) >>> 1;
    if (time[middle]! <= t) low = middle + 1;
    else high = middle;
  }
  return low;
}
