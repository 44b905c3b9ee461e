import type { DictionaryColumn } from "./dictionary.ts";
import { entriesOf } from "./entry.ts";

/** The visits table: one row an echocardiogram after the operation. */
export const visitColumns: DictionaryColumn[] = entriesOf("visits", "post-operative", [
  { name: "id", label: "Pseudonym of the patient", type: "identifier", complete: true },
  {
    name: "day",
    label: "Day of the echocardiogram",
    type: "integer",
    unit: "days from operation",
    hard: [0, 15000],
    complete: true,
    note: "Not after the end of follow-up; one echocardiogram a day.",
  },
  {
    name: "mr",
    label: "Mitral regurgitation at the visit",
    type: "ordinal",
    unit: "grade",
    hard: [0, 4],
    complete: true,
    note: "0 none or trace, 1 mild, 2 moderate, 3 moderate to severe, 4 severe.",
  },
  {
    name: "lvef",
    label: "Ejection fraction at the visit",
    type: "number",
    unit: "%",
    hard: [5, 85],
    soft: [null, 75],
    requirement: "optional",
  },
  {
    name: "lvedd",
    label: "Left ventricular end-diastolic diameter at the visit",
    type: "number",
    unit: "mm",
    hard: [30, 100],
    soft: [null, 80],
    requirement: "optional",
  },
  {
    name: "lvesd",
    label: "Left ventricular end-systolic diameter at the visit",
    type: "number",
    unit: "mm",
    hard: [15, 90],
    soft: [null, 70],
    requirement: "optional",
  },
  {
    name: "gradient",
    label: "Mean mitral gradient at the visit",
    type: "number",
    unit: "mmHg",
    hard: [0, 25],
    soft: [null, 10],
    requirement: "optional",
  },
  {
    name: "reason",
    label: "Why the echocardiogram was done",
    type: "category",
    categories: { scheduled: "scheduled", symptoms: "symptoms" },
    requirement: "optional",
  },
]);
