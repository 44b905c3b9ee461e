/// <reference lib="deno.worker" />
import { datedWithIdealVisits } from "./visits/dating.ts";
import { estimatesFrom } from "./estimates.ts";
import type { Answer, Job, Parts } from "./run-cohorts.ts";

const parts: { [P in keyof Parts]: (seed: number) => Promise<Parts[P]> } = {
  estimates: estimatesFrom,
  idealVisits: datedWithIdealVisits,
};

// One simulated cohort for each job that comes in.
self.onmessage = async ({ data: { part, seed } }: MessageEvent<Job>) => {
  let answer: Answer<keyof Parts>;
  try {
    answer = { seed, result: await parts[part](seed) };
  } catch (error) {
    answer = { seed, error: error instanceof Error ? error.message : String(error) };
  }
  self.postMessage(answer);
};
