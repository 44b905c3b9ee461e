import type { Unit } from "../../../study/mapping/mod.ts";
import { dictionaryColumn, type TableName } from "../../dictionary/mod.ts";
import { type IdentifierKind, identifierOfHeading } from "../../identifiers/mod.ts";
import { type ColumnProfile, type ProposedColumn, proposeMapping } from "../../propose/mod.ts";
import { leastAlike, nameDoubts, sayValues, similarityTo, valueDoubts } from "./doubts.ts";
import { sourceOf } from "./source-of.ts";
import type { SourceKind } from "./source-names.ts";

/** What becomes of a heading. */
export type Decision =
  | {
    as: "column";
    /** The first through the mapping, others by a rule that reads the same column. */
    columns: string[];
    unit?: Unit;
    codes?: Record<string, string | number>;
    missing?: string[];
    /** Codes of the columns after the first, and their values for a missing one. */
    others?: Record<string, { codes: Record<string, string | number>; missing?: string[] }>;
  }
  | {
    as: "source";
    source: SourceKind;
    /** Words among its dates that stand for a blank. */
    blanks?: string[];
  }
  | { as: "ignore"; why: string }
  | { as: "open"; why: string };

/** A heading with what it may be. */
export interface Considered {
  profile: ColumnProfile;
  /** `null` where it is like nothing known. */
  decision: Decision | null;
  confidence: number;
  reasons: string[];
  /** Whether it may be taken without being asked about. */
  sure: boolean;
  /** Whether the name is beyond doubt, and only what its values mean must be asked. */
  valuesOnly?: boolean;
  /** Whether its heading says that its values identify people: they are not shown. */
  identifies?: boolean;
  /**
   * Whether it is like something, though it cannot be said what it is: another heading is more like
   * the column, or it has the name of a date and values that are none. It is asked about by itself.
   */
  rivalled?: boolean;
}

// what a heading says of a person that no analysis reads
const left: ReadonlySet<IdentifierKind | null> = new Set([
  "name",
  "place",
  "email",
  "telephone",
  "fax",
  "social-security",
  "plan-number",
  "account-number",
]);

/**
 * Considers every heading of a table: what it may be, why, and whether that is beyond doubt.
 *
 * Beyond doubt is a heading that is a known name of one column and of no other, beside no heading
 * that could be the same, whose values are all of the column's kind, in its range, of a median that
 * patients have, in a unit that is stated or the only possible one, and whose codes are all known.
 */
export function considerHeadings(
  table: TableName,
  profiles: readonly ColumnProfile[],
): Considered[] {
  const proposals = new Map(
    proposeMapping(table, profiles).proposed.map((one) => [one.heading, one]),
  );
  return profiles.map((profile): Considered => {
    const { heading } = profile;
    const nothing = { profile, reasons: [], confidence: 0, sure: false };
    if (profile.filled === 0) return leftOut(profile, "the column is empty");
    const kind = identifierOfHeading(heading);
    if (left.has(kind) && !isDictionaryName(table, heading)) {
      return {
        ...leftOut(profile, "its heading says that it identifies people"),
        identifies: true,
      };
    }
    const source = sourceOf(table, profile, profiles);
    if (source) return { ...nothing, ...source };
    const proposed = proposals.get(heading);
    if (!proposed) {
      const rival = [...proposals.values()].find(({ column }) =>
        similarityTo(heading, table, column) >= leastAlike
      );
      if (!rival) return { ...nothing, decision: null };
      const reasons = [`it could be ${rival.column}, too, as “${rival.heading}” could`];
      return { ...nothing, decision: null, reasons, rivalled: true };
    }
    if (dictionaryColumn(table, proposed.column)?.type === "identifier") {
      return { ...leftOut(profile, "another column has the record numbers"), identifies: true };
    }
    return considered(table, profile, proposed, profiles);
  });
}

/** A column that is left out beyond doubt. */
function leftOut(profile: ColumnProfile, why: string): Considered {
  return { profile, decision: { as: "ignore", why }, reasons: [why], confidence: 1, sure: true };
}

function considered(
  table: TableName,
  profile: ColumnProfile,
  proposed: ProposedColumn,
  profiles: readonly ColumnProfile[],
): Considered {
  const { column: name, unit, codes, missing, confidence, reasons } = proposed;
  const column = dictionaryColumn(table, name)!;
  // what intended and final tell apart, one column of procedures tells of both
  const columns = name === "final" &&
      !profiles.some((other) =>
        other !== profile && similarityTo(other.heading, table, "intended") >= leastAlike
      )
    ? ["intended", "final"]
    : [name];
  const named = [
    ...nameDoubts(table, profile, name, profiles),
    ...(columns.length > 1 ? ["fills two columns"] : []),
  ];
  const valued = valueDoubts(profile, column, unit);
  const doubts = [...named, ...valued];
  return {
    profile,
    decision: {
      as: "column",
      columns,
      ...(unit && { unit }),
      ...(codes && { codes }),
      ...(missing && { missing }),
    },
    confidence,
    reasons: [...reasons, ...doubts.map((doubt) => `doubtful: ${doubt}`)],
    sure: doubts.length === 0,
    valuesOnly: named.length === 0 && valued.length > 0 && sayValues(profile, column),
  };
}

function isDictionaryName(table: TableName, heading: string): boolean {
  return dictionaryColumn(table, heading) !== undefined;
}
