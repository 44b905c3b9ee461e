import { join } from "node:path";
import { Processes } from "../../../lib/report/sandbox/mod.ts";

/** What starts notebooks' processes within a folder of a test. */
export function processesIn(folder: string, read: readonly string[] = []): Processes {
  return new Processes({ read, nowhere: join(folder, "nowhere"), caches: join(folder, "caches") });
}
