import type { RuleCost } from "../../cohort/mod.ts";

/** What the errors of one rule cost: "3 patients, 12 visits, 1 event". */
export function costsInWords({ patients, visits, cells, events }: RuleCost): string {
  const parts = [
    counted(patients, "patient"),
    counted(visits, "visit"),
    counted(cells, "cell"),
    counted(events, "event"),
  ].filter((part) => part !== "");
  return parts.length === 0 ? "nothing" : parts.join(", ");
}

function counted(count: number, what: string): string {
  return count === 0 ? "" : `${count} ${what}${count === 1 ? "" : "s"}`;
}
