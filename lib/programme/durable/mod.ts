/** Not just repaired, but repaired for good. @module */
export { type DurableData, type DurableRepair, durableRepair } from "./durable-repair.ts";
export { type KnownDurable, knownDurable } from "./known-durable.ts";
