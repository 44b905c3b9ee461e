import { type CaseMix, chanceOfFailure } from "./case-mix.ts";
import { successScore } from "./risk-adjusted-cusum.ts";

/** Chances of moving so many places along the grid in one operation, in ascending order. */
interface Moves {
  offset: Int32Array;
  chance: Float64Array;
}

const MOST_SWEEPS = 10_000;

/**
 * Average run length of a chart from 0, on a grid of `steps` places below the limit.
 *
 * A score that falls between two places is split between them so that its mean is kept (Brook and
 * Evans 1972, but without rounding, which would bend the drift). Between two visits to 0 the chart
 * makes an excursion: run length = mean length of an excursion / chance that it ends in a signal.
 * Both solve one linear system along the grid, swept in the direction of the many small moves, so
 * that each sweep settles one more of the rare large ones. Cost: sweeps * steps * distinct moves.
 */
export function meanRunLength(mix: CaseMix, limit: number, steps: number): number {
  const moves = movesOf(mix, limit, steps);
  const { offset, chance } = moves;
  const length = new Float64Array(steps); // from a place, operations until 0 or a signal
  const signal = new Float64Array(steps); // from a place, chance of a signal before 0
  let stay = 0;
  offset.forEach((move, k) => {
    if (move === 0) stay += chance[k]!;
  });
  const rising = mix.oddsRatio > 1; // small moves go down: sweep upwards
  const moving = [...offset.keys()].filter((k) => offset[k] !== 0);
  const by = Int32Array.from(moving, (k) => offset[k]!);
  const p = Float64Array.from(moving, (k) => chance[k]!);
  for (let sweep = 0; sweep < MOST_SWEEPS; sweep++) {
    let change = 0;
    for (let k = 1; k < steps; k++) {
      const place = rising ? k : steps - k;
      let newLength = 1;
      let newSignal = 0;
      for (let m = 0; m < by.length; m++) {
        const to = place + by[m]!;
        if (to <= 0) continue;
        if (to >= steps) {
          newSignal += p[m]!;
        } else {
          newLength += p[m]! * length[to]!;
          newSignal += p[m]! * signal[to]!;
        }
      }
      newLength /= 1 - stay;
      newSignal /= 1 - stay;
      change = Math.max(
        change,
        Math.abs(newLength - length[place]!) / newLength,
        newSignal > 0 ? Math.abs(newSignal - signal[place]!) / newSignal : 0,
      );
      length[place] = newLength;
      signal[place] = newSignal;
    }
    if (change < 1e-11) break;
  }
  const first = fromZero(moves, length, signal);
  return (1 + first.length) / first.signal;
}

/** One operation on from 0: what is still to come of an excursion, on average. */
function fromZero(
  { offset, chance }: Moves,
  length: Float64Array,
  signal: Float64Array,
): { length: number; signal: number } {
  let onLength = 0;
  let onSignal = 0;
  const steps = length.length;
  offset.forEach((to, k) => {
    if (to <= 0) return;
    if (to >= steps) {
      onSignal += chance[k]!;
    } else {
      onLength += chance[k]! * length[to]!;
      onSignal += chance[k]! * signal[to]!;
    }
  });
  return { length: onLength, signal: onSignal };
}

function movesOf(mix: CaseMix, limit: number, steps: number): Moves {
  const { risk, share, oddsRatio, trueOddsRatio } = mix;
  const chances = new Map<number, number>();
  const logRatio = Math.log(oddsRatio);
  const add = (score: number, p: number) => {
    const exact = score * steps / limit;
    const nearest = Math.round(exact);
    // a whole number of places, to rounding, stays one
    const at = Math.abs(exact - nearest) < 1e-9 * Math.max(1, steps) ? nearest : exact;
    const below = Math.floor(at);
    const above = at - below;
    chances.set(below, (chances.get(below) ?? 0) + p * (1 - above));
    if (above > 0) chances.set(below + 1, (chances.get(below + 1) ?? 0) + p * above);
  };
  for (let i = 0; i < risk.length; i++) {
    const p = risk[i]!;
    const failure = chanceOfFailure(p, trueOddsRatio);
    const score = successScore(p, oddsRatio);
    add(score, share[i]! * (1 - failure));
    add(score + logRatio, share[i]! * failure);
  }
  const sorted = [...chances].sort(([a], [b]) => a - b);
  return {
    offset: Int32Array.from(sorted, ([move]) => move),
    chance: Float64Array.from(sorted, ([, p]) => p),
  };
}
