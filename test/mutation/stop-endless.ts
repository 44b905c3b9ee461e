// A worker of ask.ts: ends the process where one test takes too long.
import process from "node:process";

/** Of the processor; many times what any test that is asked takes. */
const mostSeconds = 40;

self.onmessage = ({ data: begun }: MessageEvent<Int32Array>) => {
  let last = -1;
  let since = 0;
  setInterval(() => {
    const { user, system } = process.cpuUsage();
    const now = Atomics.load(begun, 0);
    if (now !== last) [last, since] = [now, user + system];
    if (user + system - since > mostSeconds * 1e6) Deno.kill(Deno.pid, "SIGKILL");
  }, 1000);
};
