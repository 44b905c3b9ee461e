import { factorSymmetric, invertFactored, solveFactored } from "../../numerics/mod.ts";
import { logisticPass, logisticSums } from "../../regression/models/mod.ts";

/** Where the climb of a logistic model ended. */
export interface EventsClimb {
  /** Constant first, for the columns as given. */
  beta: Float64Array<ArrayBuffer>;
  inverse: Float64Array;
  logLikelihood: number;
  chance: Float64Array;
}

/**
 * Logistic regression from a start that is near, as one number of cases is to the next. A surgeon
 * without any event, or with nothing else, sends its indicator off without end and tells nothing of
 * learning: the climb ends when the likelihood no longer rises.
 */
export function climbEvents(
  outcome: Float64Array,
  columns: Float64Array[],
  start?: Float64Array<ArrayBuffer>,
): EventsClimb {
  const n = outcome.length;
  const q = columns.length + 1;
  const rows = {
    n,
    columns,
    centre: new Float64Array(columns.length),
    scale: new Float64Array(columns.length).fill(1),
    outcome: Uint8Array.from(outcome),
    weight: undefined,
  };
  let beta = start ?? new Float64Array(q);
  let now = logisticSums(q);
  let next = logisticSums(q);
  const predictor = new Float64Array(n);
  logisticPass(rows, beta, now, predictor);
  for (let iteration = 0; iteration < 40; iteration++) {
    const step = solveFactored(factorSymmetric(now.information, q, 1e-10), now.gradient);
    const decrement = step.reduce((sum, move, j) => sum + move * now.gradient[j]!, 0);
    if (decrement < 1e-9) break;
    let risen = false;
    for (let length = 1; length > 1e-6 && !risen; length /= 2) {
      const trial = beta.map((b, j) => b + length * step[j]!);
      logisticPass(rows, trial, next, predictor);
      if (next.logLikelihood < now.logLikelihood) continue;
      risen = true;
      beta = trial;
      [now, next] = [next, now];
    }
    if (!risen) break;
  }
  logisticPass(rows, beta, next, predictor, { fitOnly: true });
  return {
    beta,
    inverse: invertFactored(factorSymmetric(now.information, q, 1e-10)),
    logLikelihood: next.logLikelihood,
    chance: predictor.map((eta) => 1 / (1 + Math.exp(-eta))),
  };
}
