import { countOf, everybody, type Notes, sizeOf } from "./facts.ts";
import { died } from "./names.ts";
import type { Reading } from "./table-reading.ts";

/** The flow of patients: steps, the groups, and after each of these how its follow-up ended. */
export function readFlowTable({ table, notes, groups, cell }: Reading): void {
  const steps = table.rows.map(({ step }) => String(step));
  const rowsOf = groups.map((group) => steps.indexOf(group)).filter((at) => at >= 0);
  const before = Math.min(steps.length, ...rowsOf);
  for (let at = 0; at < before; at++) {
    const name = at === before - 1 ? everybody : `flow ${at}`;
    cell(at, "remaining", name);
    if (at === 0) continue;
    cell(at, "excluded", `left out ${at}`);
    notes.sum(`flow ${at - 1}`, [name, `left out ${at}`], table.id);
  }
  for (const at of rowsOf) {
    const group = steps[at]!;
    const size = cell(at, "remaining", sizeOf(group));
    if (!steps[at + 1]?.startsWith(`${group}: `)) continue;
    const ends = namesOfEnds(group);
    ends.forEach((name, k) => cell(at + 1 + k, "remaining", name));
    notes.sum(size, ends, table.id);
  }
  notes.sum(everybody, groups.map(sizeOf), table.id);
}

/** What the flow diagram says in the box of each group: "165 died". */
export function readEnds(text: string, notes: Notes, figure: string): void {
  const count = String.raw`((?:[<>] )?[\d,]+)`;
  const ends = new RegExp(
    String.raw`${count}\s+died\s+${count}\s+alive,\s+followed\b.*?${count}\s+alive,\s+last`,
    "g",
  );
  [...text.matchAll(ends)].forEach(([, ...counts], k) => {
    const group = notes.knows.groups[k];
    if (group === undefined) return;
    namesOfEnds(group).forEach((name, i) => notes.cell(name, counts[i], { figure }));
  });
}

/** How follow-up ended: everybody of a group is in one of these. */
function namesOfEnds(group: string): string[] {
  return [died(group), countOf(group, "followed to the end"), countOf(group, "lost early")];
}

/** Sizes of the groups, and how many of each were lost. */
export function readCompleteness({ table, notes, groups, cell }: Reading): void {
  table.rows.forEach((_, at) => {
    const group = groups[at];
    if (!group) return;
    const [dead, followed, lost] = namesOfEnds(group);
    const size = cell(at, "patients", sizeOf(group));
    cell(at, "lostEarly", lost!);
    notes.sum(size, [dead!, followed!, lost!], table.id);
    notes.protect.add(followed!);
  });
}
