import { looksLikeColumnName } from "../../cohort/cells/mod.ts";
import type { TableName } from "../../cohort/dictionary/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { WaivableKind } from "../../study/mapping/mod.ts";

const tables = ["patients", "visits"] as const;

/**
 * A column left unread whose values look like identifiers, and why the study file says
 * they are not.
 */
export interface Waiver {
  table: TableName;
  /** Its heading in quotation marks, or that it is not shown. */
  column: string;
  kinds: WaivableKind[];
  why: string;
}

/** What the study file lets through although it looks like identifiers. */
export function waivers({ mapping }: Pick<Study, "mapping">): Waiver[] {
  return tables.flatMap((table) =>
    Object.entries(mapping[table]).flatMap(([heading, source]): Waiver[] => {
      const waived = typeof source === "object" && "ignore" in source && source.notIdentifying;
      return waived ? [{ table, column: shownHeading(heading), ...waived }] : [];
    })
  );
}

/** A heading in quotation marks, unless it could be a value of somebody’s. */
export function shownHeading(heading: string): string {
  return looksLikeColumnName(heading) ? `“${heading}”` : "a column whose name is not shown";
}
