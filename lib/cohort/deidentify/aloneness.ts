import type { KnownColumn } from "./known-columns.ts";

/** How many patients of a table are alone in what many people know of them. */
export interface Aloneness {
  /** Patients of the table. */
  patients: number;
  /** Patients of whom no other has the same values. */
  alone: number;
  /** What was looked at, by the columns there are. */
  columns: string[];
}

const knownOfMany = ["age", "sex", "op_year", "intended"];

/**
 * Counts rows that nobody shares age, sex, year and intended operation with. Somebody who knows
 * these of a patient could find that row; the fewer there are, the harder it is.
 *
 * @param header Headings of the clean copy.
 */
export function aloneness(
  header: readonly string[],
  known: readonly (KnownColumn | null)[],
): { take(cells: readonly string[]): void; finish(): Aloneness } {
  const names = header.map((heading, place) => known[place]?.column?.name ?? heading);
  const columns = knownOfMany.filter((name) => names.includes(name));
  const places = columns.map((name) => names.indexOf(name));
  const counts = new Map<string, number>();
  let patients = 0;
  return {
    take(cells) {
      patients++;
      const key = places.map((place) => cells[place]).join("|");
      counts.set(key, (counts.get(key) ?? 0) + 1);
    },
    finish() {
      let alone = 0;
      for (const count of counts.values()) if (count === 1) alone++;
      return { patients, alone, columns };
    },
  };
}
