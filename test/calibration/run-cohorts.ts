import type { CohortResult } from "./estimates.ts";

type Answer = { seed: number; result: CohortResult } | { seed: number; error: string };

/** What all cohorts gave, in order of seed, and which failed and why. */
export interface CohortRun {
  results: CohortResult[];
  failures: { seed: number; error: string }[];
}

/**
 * Works out every seed's cohort in workers. What comes back depends on the seeds only, not on how
 * many workers there are or which is faster.
 *
 * @param options.done Told after each cohort how many are ready.
 */
export async function runCohorts(
  seeds: readonly number[],
  options: { workers?: number; done?: (count: number) => void } = {},
): Promise<CohortRun> {
  const count = Math.min(options.workers ?? navigator.hardwareConcurrency, seeds.length);
  const answers = new Map<number, Answer>();
  let next = 0;
  await Promise.all(Array.from({ length: count }, () => {
    const worker = new Worker(new URL("./worker.ts", import.meta.url).href, { type: "module" });
    return new Promise<void>((resolve, reject) => {
      const ask = () => {
        const seed = seeds[next++];
        if (seed === undefined) {
          worker.terminate();
          resolve();
        } else worker.postMessage(seed);
      };
      worker.onmessage = ({ data }: MessageEvent<Answer>) => {
        answers.set(data.seed, data);
        options.done?.(answers.size);
        ask();
      };
      worker.onerror = (event) => {
        event.preventDefault();
        worker.terminate();
        reject(new Error(event.message));
      };
      ask();
    });
  }));
  const run: CohortRun = { results: [], failures: [] };
  for (const seed of seeds) {
    const answer = answers.get(seed);
    if (!answer) throw new Error(`no answer for seed ${seed}`);
    if ("result" in answer) run.results.push(answer.result);
    else run.failures.push(answer);
  }
  return run;
}
