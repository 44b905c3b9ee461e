import process from "node:process";

/** Names through which data could outlive a run: they need no permission. */
const kept = ["localStorage", "sessionStorage", "caches", "indexedDB", "Storage", "CacheStorage"];

/**
 * Some packages list the environment while they load, which would end a run that may not read it:
 * they are shown an empty one. What keeps data between runs is taken away; that a Worker has it
 * still does not matter, since the folder it writes to goes with the run (throwaway-cache.ts).
 */
export function closeDoors(): void {
  Object.defineProperty(process, "env", { value: {}, configurable: false, writable: false });
  for (const name of kept) Reflect.deleteProperty(globalThis, name);
}
