import { z } from "zod";
import { publishedFinding } from "../show/mod.ts";
import { findingSchema, type ReportModel, tableSchema } from "../model/mod.ts";
import { publishedPlan } from "./published-plan.ts";

/**
 * What a run found, for programs: the plan, the findings and the tables, without a word of HTML.
 */
export const findingsSchema = z.object({
  /** The plan as checked, defaults filled in; files by name only. */
  plan: z.record(z.string(), z.json()),
  findings: z.array(findingSchema),
  tables: z.array(tableSchema),
});

/** What `findings.json` holds. */
export type FindingsFile = z.infer<typeof findingsSchema>;

/** Writes `findings.json`. The same run gives the same bytes; no path of this machine is in it. */
export function findingsJson(model: ReportModel): string {
  const { study, items } = model;
  const content = {
    plan: publishedPlan(study),
    findings: items.findings.map(({ item }) => publishedFinding(item)),
    tables: items.tables.map(({ item }) => item),
  };
  return `${JSON.stringify(content, null, 1)}\n`;
}
