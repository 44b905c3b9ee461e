import type { TableProfile } from "./column-profile.ts";
import { dictionary, type TableName } from "../dictionary/mod.ts";
import { type MappingProposal, proposeMapping } from "./propose-mapping.ts";

/** How well a sheet of a workbook agrees with one of the two tables. */
export interface SheetMatch {
  profile: TableProfile;
  table: TableName;
  /** From 0 to 1. */
  confidence: number;
  reason: string;
  proposal: MappingProposal;
}

/** Below this a sheet is hardly the table. */
const leastConfidence = 0.25;

/** How well each sheet agrees with each table, by the sheets' order. */
export function matchSheets(profiles: readonly TableProfile[]): SheetMatch[] {
  return profiles.flatMap((profile) =>
    (["patients", "visits"] as const).map((table) => matchOf(profile, table))
  );
}

/**
 * Proposes which sheet is which table, for a person to confirm: the closest first, and no sheet for
 * two tables. A table that no sheet is like has none.
 */
export function proposeSheets(
  matches: readonly SheetMatch[],
): Partial<Record<TableName, SheetMatch>> {
  const chosen: Partial<Record<TableName, SheetMatch>> = {};
  const taken = new Set<TableProfile>();
  for (const match of matches.toSorted((a, b) => b.confidence - a.confidence)) {
    const { table, profile, confidence } = match;
    if (confidence < leastConfidence || chosen[table] || taken.has(profile)) continue;
    chosen[table] = match;
    taken.add(profile);
  }
  return chosen;
}

/**
 * The geometric mean of two shares, required columns that were found and headings that were
 * recognised, times the mean confidence in them: a table of patients has a visit's three required
 * columns as well, but little else that a visit has.
 */
function matchOf(profile: TableProfile, table: TableName): SheetMatch {
  const proposal = proposeMapping(table, profile.columns);
  const required = dictionary[table].filter(({ requirement }) => requirement === "required").length;
  const found = required - proposal.absent.length;
  const headings = profile.columns.filter(({ heading }) => heading !== "").length;
  const recognised = proposal.proposed.length;
  const sum = proposal.proposed.reduce((total, { confidence }) => total + confidence, 0);
  const confidence = recognised === 0
    ? 0
    : Math.sqrt(found / required * recognised / headings) * sum / recognised;
  return {
    profile,
    table,
    confidence: Math.round(100 * confidence) / 100,
    reason: `${found} of ${required} required columns found, ${recognised} of ${headings} ` +
      `headings recognised`,
    proposal,
  };
}
