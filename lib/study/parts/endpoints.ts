import { z } from "zod";
import { cell, column, id, words } from "./names.ts";

/** Endpoints that are read from the dictionary's columns. Any other is the study's own. */
export const builtInEndpoints = [
  "death",
  "valve-failure",
  "recurrence",
  "recurrence-severe",
  "reoperation",
] as const;

/** @internal */
type BuiltIn = typeof builtInEndpoints[number];
/** One endpoint that is read from the dictionary's columns. */
export type BuiltInEndpoint = BuiltIn;

/** Whether an endpoint is read from the dictionary's columns. */
export function isBuiltIn(endpoint: string): endpoint is BuiltInEndpoint {
  return builtInEndpoints.some((one) => one === endpoint);
}

const eventSchema = z.strictObject({
  column: column.describe("A column of the patients table, of the dictionary or of this file."),
  oneOf: z.array(cell).min(1).default([1]).describe("Its values that mean the event happened."),
  day: column.optional().describe(
    "The column with the day of the event. Without it only the share of patients is shown.",
  ),
});

/**
 * One endpoint with its competing events.
 *
 * `death`, `valve-failure`, `recurrence`, `recurrence-severe` and `reoperation` are read from the
 * dictionary's columns. Any other id is an endpoint of the study's own: it says where its event is
 * written, and where its definition came from.
 */
export const endpointSchema = z.strictObject({
  id,
  label: words,
  competing: z.array(z.enum(["death", "reintervention"])).default([]).describe(
    "Events that end the time at risk. reintervention: for another reason than regurgitation; " +
      "where it is not listed, follow-up is censored there.",
  ),
  event: eventSchema.optional().describe("Of the study's own endpoints: where it is written."),
  source: words.optional().describe("Of the study's own endpoints: where its definition is from."),
}).refine(
  (endpoint) => endpoint.id === "death" || endpoint.competing.includes("death"),
  { path: ["competing"], message: 'must list "death": it competes with any non-fatal endpoint' },
).refine(
  (endpoint) => endpoint.id !== "death" || endpoint.competing.length === 0,
  { path: ["competing"], message: "must be empty for death of any cause" },
).refine(
  (endpoint) =>
    !["reoperation", "valve-failure"].includes(endpoint.id) ||
    !endpoint.competing.includes("reintervention"),
  { path: ["competing"], message: "must not list reintervention, which is part of the endpoint" },
).refine(
  (endpoint) => isBuiltIn(endpoint.id) !== (endpoint.event !== undefined),
  {
    path: ["event"],
    message: `is for endpoints of the study's own, which need it: {"column": ..., "day": ...}; ` +
      `those without are ${builtInEndpoints.join(", ")}`,
  },
).refine(
  (endpoint) => isBuiltIn(endpoint.id) || endpoint.source !== undefined,
  { path: ["source"], message: "an endpoint of the study's own says where its definition is from" },
);
