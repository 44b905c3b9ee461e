/**
 * What runs in a worker of {@link bootstrapInWorkers}: told once what to work out, then which
 * replicates. It has the permissions of whoever started it, and no more.
 *
 * Imports the resampler and, by its address, the module of the statistic: nothing else of the library
 * is loaded, so that a worker starts quickly.
 *
 * @module
 */
import { resampler } from "./bootstrap.ts";
import {
  type ReplicateSetup,
  replicatesOf,
  type ReplicateTask,
  statisticOf,
} from "./replicates.ts";

const scope = globalThis as unknown as {
  onmessage: (event: { data: ReplicateSetup | ReplicateTask }) => void;
  postMessage: (message: unknown) => void;
};

let work: ((task: ReplicateTask) => Float64Array) | undefined;

scope.onmessage = async ({ data }) => {
  try {
    if ("statistic" in data) {
      const statistic = await statisticOf(data.statistic);
      const draw = resampler(data.units, data.seed);
      work = (task) => replicatesOf(statistic, draw, { ...task, size: data.size });
      scope.postMessage({ ready: true });
    } else scope.postMessage({ from: data.from, values: work?.(data) });
  } catch (error) {
    scope.postMessage({ problem: error instanceof Error ? error.message : String(error) });
  }
};
