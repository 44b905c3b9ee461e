import { quietly } from "../columns/mod.ts";
import { type Answer, type Told, WaitingWorker, type WorkerSetup } from "./waiting-worker.ts";

/** Work that is shared out among workers; each is told the setup once. */
export interface SharedWork<Setup, Task, Result> extends WorkerSetup<Setup> {
  tasks: readonly Task[];
  /** How many workers; with 0 everything is done here. */
  workers: number;
  /** Asked before a task begins: one that is no longer needed is passed over. */
  isNeeded?: (place: number) => boolean;
  /**
   * What a worker does, to be done here: the first tasks are, and the rest too where that takes
   * hardly longer than workers take to begin. Warnings are not passed on, as a worker's are not.
   */
  here?: (task: Task) => Result;
}

/**
 * Shares out tasks: each worker takes the next as soon as it is free. `keep` gets each result with
 * its task's place, in whatever order they are done.
 *
 * @throws {Error} with the first problem.
 */
export async function inWorkers<Setup, Task, Result>(
  { tasks, workers: wanted, isNeeded = () => true, here, ...setup }: SharedWork<
    Setup,
    Task,
    Result
  >,
  keep: (place: number, result: Result) => void,
): Promise<void> {
  let next = here ? begunHere({ tasks, isNeeded, here, workers: wanted }, keep) : 0;
  const count = Math.min(wanted, tasks.length - next);
  const take = () => {
    while (next < tasks.length && !isNeeded(next)) next++;
    return next++;
  };
  const workers: WaitingWorker<Setup, Task, Result>[] = [];
  try {
    while (workers.length < count) workers.push(new WaitingWorker(setup));
    await Promise.all(workers.map(async (worker) => {
      await worker.ready;
      for (let place = take(); place < tasks.length; place = take()) {
        keep(place, await worker.ask(tasks[place]!));
      }
    }));
  } finally {
    for (const worker of workers) worker.end();
  }
}

/**
 * Milliseconds of work below which it is done here: a worker takes a second of a processor to load
 * what it works with and to warm up, and in a report other notebooks have use for the other
 * processors.
 */
const worthWorkers = 20_000;

/** Does tasks here until those left are worth workers; tells where these begin. */
function begunHere<Task, Result>(
  { tasks, isNeeded, here, workers }: {
    tasks: readonly Task[];
    isNeeded: (place: number) => boolean;
    here: (task: Task) => Result;
    workers: number;
  },
  keep: (place: number, result: Result) => void,
): number {
  let done = 0;
  for (let place = 0; place < tasks.length; place++) {
    if (!isNeeded(place)) continue;
    const began = performance.now();
    keep(place, quietly(() => here(tasks[place]!)));
    const took = performance.now() - began;
    // code is slow the first time: where that cost little a second time tells more
    if (++done === 1 && took < worthWorkers / 4) continue;
    if (workers > 0 && took * (tasks.length - place - 1) > worthWorkers) return place + 1;
  }
  return tasks.length;
}

/**
 * What a worker's module does: makes itself ready from the setup, then answers one task at a time.
 */
export function answerTasks<Setup, Task, Result>(
  prepare: (setup: Setup) => Worked<Task, Result> | Promise<Worked<Task, Result>>,
): void {
  const scope = globalThis as unknown as {
    onmessage: (event: { data: Told<Setup, Task> }) => void;
    postMessage: (message: Answer<Result>) => void;
  };
  let work: Worked<Task, Result> | undefined;
  const answer = async (told: Told<Setup, Task>) => {
    try {
      if ("setup" in told) {
        work = await prepare(told.setup);
        scope.postMessage({ ready: true });
      } else scope.postMessage({ result: await work!(told.task) });
    } catch (error) {
      scope.postMessage({ problem: error instanceof Error ? error.message : String(error) });
    }
  };
  let last = Promise.resolve();
  scope.onmessage = ({ data }) => {
    last = last.then(() => answer(data));
  };
}

type Worked<Task, Result> = (task: Task) => Result | Promise<Result>;
