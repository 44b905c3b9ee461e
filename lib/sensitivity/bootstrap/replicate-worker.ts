/**
 * What runs in a worker of {@link bootstrapInWorkers}: told once what to work out, then which
 * replicates. It has the permissions of whoever started it, and no more.
 *
 * Imports the resampler and, by its address, the module of the statistic: nothing else of the library
 * is loaded, so that a worker starts quickly.
 *
 * @module
 */
import { answerTasks } from "../../numerics/mod.ts";
import { resampler } from "./bootstrap.ts";
import {
  type ReplicateSetup,
  replicatesOf,
  type ReplicateTask,
  statisticOf,
} from "./replicates.ts";

answerTasks<ReplicateSetup, ReplicateTask, Float64Array>(
  async ({ statistic: described, units, seed, size }) => {
    const statistic = await statisticOf(described);
    const draw = resampler(units, seed);
    return (task) => replicatesOf(statistic, draw, { ...task, size });
  },
);
