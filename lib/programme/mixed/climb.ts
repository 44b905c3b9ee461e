import { factorSymmetric, invertFactored, solveFactored } from "../../numerics/mod.ts";
import { type NormalQuadrature, normalQuadrature } from "./gauss-hermite.ts";
import {
  addUnit,
  type MixedRows,
  type MixedSums,
  type UnitPosterior,
  type UnitRows,
} from "./posterior.ts";

/** Where a climb of the mixed model's likelihood ended. */
export interface MixedClimb {
  /** Constant, covariates (scaled), spread. */
  parameters: Float64Array;
  logLikelihood: number;
  /** Inverse of the negative Hessian over the parameters that were free. */
  inverse: Float64Array;
  posteriors: UnitPosterior[];
  iterations: number;
  converged: boolean;
}

/**
 * Newton's method on the marginal likelihood; a Hessian that is not negative definite is bent until
 * it is, and a step that lowers the likelihood is halved.
 *
 * @param options.fixSpread Whether the spread stays as given (for its profile).
 */
export function climbMixed(
  rows: MixedRows,
  start: Float64Array,
  quadrature: NormalQuadrature,
  options: { fixSpread?: boolean; maxIterations?: number } = {},
): MixedClimb {
  const p = start.length;
  const free = options.fixSpread ? p - 1 : p;
  const { maxIterations = 60 } = options;
  const modes = rows.units.map(() => 0);
  const nodes = nodesOfUnits(rows, quadrature);
  const evaluate = (parameters: Float64Array) => evaluateAt(rows, parameters, nodes, modes);
  let parameters = start.slice();
  let now = evaluate(parameters);
  let converged = false;
  let iterations = 0;
  for (; iterations < maxIterations; iterations++) {
    const information = negated(now.sums.hessian, p, free);
    const gradient = now.sums.gradient.subarray(0, free);
    const step = ascentStep(information, gradient, free);
    let decrement = 0;
    for (let a = 0; a < free; a++) decrement += step[a]! * gradient[a]!;
    if (decrement < 1e-16 * Math.max(1, rows.n)) {
      converged = true;
      break;
    }
    let length = 1;
    let risen = false;
    for (let halving = 0; halving < 40 && !risen; halving++, length /= 2) {
      const trial = parameters.slice();
      for (let a = 0; a < free; a++) trial[a]! += length * step[a]!;
      const there = evaluate(trial);
      if (there.sums.logLikelihood >= now.sums.logLikelihood - 1e-13 * rows.n) {
        risen = true;
        parameters = trial;
        now = there;
      }
    }
    if (!risen) break;
  }
  return {
    parameters,
    logLikelihood: now.sums.logLikelihood,
    inverse: invertFactored(factorSymmetric(negated(now.sums.hessian, p, free), free, 1e-13)),
    posteriors: now.posteriors,
    iterations,
    converged,
  };
}

/** Log odds of every row without its unit's part. */
export function baseOf({ n, columns, offset }: MixedRows, parameters: Float64Array): Float64Array {
  const base = new Float64Array(n);
  for (let i = 0; i < n; i++) base[i] = offset[i]! + parameters[0]!;
  columns.forEach((column, j) => {
    const b = parameters[j + 1]!;
    for (let i = 0; i < n; i++) base[i]! += b * column[i]!;
  });
  return base;
}

function evaluateAt(
  rows: MixedRows,
  parameters: Float64Array,
  nodes: readonly NormalQuadrature[],
  modes: number[],
): { sums: MixedSums; posteriors: UnitPosterior[] } {
  const p = parameters.length;
  const base = baseOf(rows, parameters);
  const spread = parameters[p - 1]!;
  const sums = {
    logLikelihood: 0,
    gradient: new Float64Array(p),
    hessian: new Float64Array(p * p),
  };
  const posteriors = rows.units.map((unit, s) => {
    const posterior = addUnit(rows, unit, { base, spread, start: modes[s]! }, nodes[s]!, sums);
    modes[s] = posterior.mean;
    return posterior;
  });
  return { sums, posteriors };
}

/**
 * Nodes that are enough for a large unit, whose posterior is all but normal: what k nodes leave of
 * the integral falls as the events to the power of -(floor(k / 3) + 1) (Liu and Pierce 1994).
 */
const enoughNodes = 7;

/** The nodes of each unit: as asked for, but of a large one no more than are enough. */
function nodesOfUnits(rows: MixedRows, quadrature: NormalQuadrature): NormalQuadrature[] {
  const few = quadrature.node.length > enoughNodes ? normalQuadrature(enoughNodes) : quadrature;
  return rows.units.map((unit) => isLarge(rows, unit) ? few : quadrature);
}

/** Whether a unit has hundreds of rows with the event, and as many without. */
function isLarge({ outcome, count }: MixedRows, { first, end }: UnitRows): boolean {
  let [events, others] = [0, 0];
  for (let i = first; i < end; i++) {
    if (outcome[i] === 1) events += count[i]!;
    else others += count[i]!;
  }
  return Math.min(events, others) >= 300;
}

/** The free part of a lower triangle, whole and with its sign turned. */
function negated(hessian: Float64Array, p: number, free: number): Float64Array {
  const information = new Float64Array(free * free);
  for (let a = 0; a < free; a++) {
    for (let b = 0; b <= a; b++) {
      information[a * free + b] = information[b * free + a] = -hessian[a * p + b]!;
    }
  }
  return information;
}

function ascentStep(information: Float64Array, gradient: Float64Array, free: number): Float64Array {
  const matrix = information.slice();
  for (let bend = 0;;) {
    const factor = factorSymmetric(matrix, free, 1e-12);
    if (factor.dropped.length === 0) return solveFactored(factor, gradient);
    bend = bend === 0 ? 1e-3 : 4 * bend;
    for (let a = 0; a < free; a++) {
      matrix[a * free + a] = Math.abs(information[a * free + a]!) * (1 + bend) + 1e-8 * bend;
    }
    if (bend > 1e12) return gradient.slice();
  }
}
