/// <reference lib="deno.worker" />
import { estimatesFrom } from "./estimates.ts";

// One simulated cohort for each seed that comes in.
self.onmessage = async ({ data: seed }: MessageEvent<number>) => {
  try {
    self.postMessage({ seed, result: await estimatesFrom(seed) });
  } catch (error) {
    self.postMessage({ seed, error: error instanceof Error ? error.message : String(error) });
  }
};
