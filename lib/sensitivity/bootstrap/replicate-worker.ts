/**
 * What runs in a worker of {@link bootstrapInWorkers}: told once what to work out, then which
 * replicates. It has the permissions of whoever started it, and no more.
 *
 * Imports what draws rows and, by its address, the module of the statistic: nothing else of the
 * library is loaded, so that a worker starts quickly.
 *
 * @module
 */
import { answerTasks } from "../../numerics/mod.ts";
import { drawer } from "./draws.ts";
import {
  type ReplicateSetup,
  replicatesOf,
  type ReplicateTask,
  statisticOf,
} from "./replicates.ts";

answerTasks<ReplicateSetup, ReplicateTask, Float64Array>(
  async (setup) => {
    const { units, seed, wanted, size } = setup;
    const statistic = await statisticOf(setup.statistic);
    const draw = drawer(units, seed, setup);
    return (task) => replicatesOf(statistic, draw.rows, { ...task, size, wanted });
  },
);
