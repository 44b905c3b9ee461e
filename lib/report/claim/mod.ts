/**
 * A report's folder, which one run at a time may replace, and the private one beside it.
 *
 * @module
 */
export { type ClaimedOutput, claimOutput } from "./claim-output.ts";
export { folderOf, type OutputPlaces, settle, statOf } from "./places.ts";
