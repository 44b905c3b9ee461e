/** Processes that are shut off, and that end with the program. @module */
export { type Guard, startGuard } from "./guard.ts";
export {
  dismiss,
  type OwnFiles,
  ownFiles,
  Processes,
  type ProcessPlaces,
  type WaitingProcess,
} from "./processes.ts";
export {
  demoStudy,
  denoEnvironment,
  engineFlags,
  fromFileUrl,
  projectFolder,
  readableOfProject,
  resolution,
  sandboxCommand,
  type SandboxOptions,
} from "./sandbox.ts";
export { denoFolder, throwawayCache } from "./throwaway-cache.ts";
