import type { MissingMethod } from "../../missing/study/mod.ts";
import type { ReferenceKey } from "./references.ts";

/** The paragraphs of a methods section, in their order. */
export const methodAreas = {
  "follow-up": "Follow-up and the ventricle",
  groups: "Making the groups alike",
  survival: "Survival",
  competing: "Recurrence, with death competing",
  valve: "The valve over time",
  programme: "The programme",
  other: "Other estimates",
  sensitivity: "Sensitivity and resampling",
} as const;
export type MethodArea = keyof typeof methodAreas;

/** A method as a methods section tells it. */
export interface Method {
  /** Lower-case words joined by hyphens: its anchor. */
  id: string;
  /** The paragraph it belongs to. */
  area: MethodArea;
  /** A few words, as they stand beside a table. */
  label: string;
  /** One or two sentences on what was done, true of every use of its functions. */
  sentence: string;
  sources: readonly ReferenceKey[];
  /** The functions of the library whose use is the use of this method. */
  functions: readonly string[];
  /** Ways of treating missing covariates under which it is used; every way where this is absent. */
  missing?: readonly MissingMethod[];
}
