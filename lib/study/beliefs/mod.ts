/**
 * What is believed before outcomes are looked at: what to expect, and of what was not measured.
 *
 * @module
 */
export { biasSchema } from "./bias.ts";
export { precisionSchema, primarySchema } from "./precision.ts";
