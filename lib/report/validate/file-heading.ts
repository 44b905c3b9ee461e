import { looksLikeColumnName, sourcesOf } from "../../cohort/cells/mod.ts";
import type { Mapping } from "../../study/mapping/mod.ts";

/**
 * What a column of the dictionary is called in the file it came from, where the mapping gives it
 * another name, unit or rule: the words by which whoever keeps the file finds it.
 *
 * Headings that could be a value of somebody's are left out.
 */
export function fileHeading(
  mapping: Mapping,
  { table, column }: { table: "patients" | "visits"; column: string },
): string | undefined {
  const quoted = (headings: readonly string[]) =>
    headings.filter(looksLikeColumnName).map((heading) => `“${heading}”`).join(", ");
  for (const [heading, becomes] of Object.entries(mapping[table])) {
    if (becomes === column) return heading === column ? undefined : quoted([heading]) || undefined;
    if (typeof becomes === "string" || !("column" in becomes) || becomes.column !== column) {
      continue;
    }
    const name = quoted([heading]);
    const converted = becomes.unit ? `, converted from ${becomes.unit}` : "";
    return name ? `${name}${converted}` : undefined;
  }
  const rule = mapping.derived[table].find((one) => one.column === column);
  const from = rule && quoted(sourcesOf(rule));
  return from ? `worked out from ${from}` : undefined;
}

/** Where a problem lies: the file, the dictionary's column, and what the file calls it. */
export function whereOf(
  { file, column, heading }: { file: string; column: string | null; heading?: string },
): string {
  if (column === null) return file;
  return `${file}, ${column}${heading ? ` (in the file: ${heading})` : ""}`;
}
