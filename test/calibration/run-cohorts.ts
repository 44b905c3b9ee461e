import type { DatedIncidence } from "./visits/dating.ts";
import type { CohortResult } from "./estimates.ts";

/** What can be worked out for a cohort, and what comes of it. */
export interface Parts {
  estimates: CohortResult;
  idealVisits: DatedIncidence[];
}

/** One cohort to work on. */
export interface Job {
  part: keyof Parts;
  seed: number;
}

/** What a worker says of it. */
export type Answer<P extends keyof Parts> =
  | { seed: number; result: Parts[P] }
  | { seed: number; error: string };

/** What all cohorts gave, in order of seed, and which failed and why. */
export interface CohortRun<P extends keyof Parts> {
  results: Parts[P][];
  failures: { seed: number; error: string }[];
}

/**
 * Works out every seed's cohort in workers. What comes back depends on the seeds only, not on how
 * many workers there are or which is faster.
 *
 * @param options.done Told after each cohort how many are ready.
 */
export async function runCohorts<P extends keyof Parts>(
  part: P,
  seeds: readonly number[],
  options: { workers?: number; done?: (count: number) => void } = {},
): Promise<CohortRun<P>> {
  const count = Math.min(options.workers ?? navigator.hardwareConcurrency, seeds.length);
  const answers = new Map<number, Answer<P>>();
  let next = 0;
  await Promise.all(Array.from({ length: count }, () => {
    const worker = new Worker(new URL("./worker.ts", import.meta.url).href, { type: "module" });
    return new Promise<void>((resolve, reject) => {
      const ask = () => {
        const seed = seeds[next++];
        if (seed === undefined) {
          worker.terminate();
          resolve();
        } else worker.postMessage({ part, seed } satisfies Job);
      };
      worker.onmessage = ({ data }: MessageEvent<Answer<P>>) => {
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
  const run: CohortRun<P> = { results: [], failures: [] };
  for (const seed of seeds) {
    const answer = answers.get(seed);
    if (!answer) throw new Error(`no answer for seed ${seed}`);
    if ("result" in answer) run.results.push(answer.result);
    else run.failures.push(answer);
  }
  return run;
}
