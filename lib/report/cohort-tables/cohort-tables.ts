import { formatRange } from "../../words/mod.ts";
import type { ProcedureTable } from "../../cohort/model/mod.ts";
import type {
  CompletenessRow,
  EchoScheduleRow,
  MissingnessRow,
  VentricleAfter,
} from "../../cohort/follow-up/mod.ts";
import {
  boundedCount,
  isSmall,
  publishableCounts,
  publishablePart,
  publishableShare,
} from "../../disclosure/mod.ts";
import { type DisplayTable, table, type TableRow } from "../show/mod.ts";
import type { GroupLabels, TableHeading } from "../items/mod.ts";
import { publishableEnds } from "./follow-up-ends.ts";

/** A heading with what the plan says of the groups: spread `asPlanned` into it. */
export type PlannedHeading = TableHeading & {
  smallestCell?: number;
  labels?: GroupLabels;
};

/** The heading alone, and the plan's part of it. */
function divided(
  { id, title, caption, notes, smallestCell = 1, labels = operations }: PlannedHeading,
) {
  return { heading: { id, title, caption, ...(notes && { notes }) }, smallestCell, labels };
}

const operations = { repair: "Repair", replacement: "Replacement" } as const;

/** Attempted against final procedure. A count too rare to publish bounds its neighbour as well. */
export function procedureTable(
  heading: TableHeading,
  procedures: ProcedureTable,
  smallestCell: number,
): DisplayTable {
  const row = (intended: string, same: number, other: number, repairFirst: boolean): TableRow => {
    // a rare count and the total would give the other away, and the other way round
    const kept = publishablePart(same, same + other, smallestCell);
    const converted = publishablePart(other, same + other, smallestCell);
    return {
      intended,
      total: boundedCount(same + other, smallestCell),
      repair: repairFirst ? kept : converted,
      replacement: repairFirst ? converted : kept,
      share: publishableShare(other, same + other, smallestCell),
    };
  };
  return table({
    ...heading,
    columns: [
      { key: "intended", label: "Attempted" },
      { key: "total", label: "Patients", kind: "number" },
      { key: "repair", label: "Final: repair", kind: "number" },
      { key: "replacement", label: "Final: replacement", kind: "number" },
      { key: "share", label: "Converted", kind: "percent" },
    ],
    rows: [
      row("Repair", procedures.repairRepair, procedures.repairReplacement, true),
      row("Replacement", procedures.replacementReplacement, procedures.replacementRepair, false),
    ],
  });
}

/** Follow-up by group: what was observed of what could have been. */
export function completenessTable(
  planned: PlannedHeading & { smallestCell: number },
  rows: readonly CompletenessRow[],
): DisplayTable {
  const { heading, smallestCell, labels } = divided(planned);
  return table({
    ...heading,
    columns: [
      { key: "arm", label: "Group" },
      { key: "patients", label: "Patients", kind: "number" },
      { key: "observed", label: "Observed", unit: "patient-years", kind: "number", digits: 0 },
      { key: "potential", label: "Possible", unit: "patient-years", kind: "number", digits: 0 },
      { key: "completeness", label: "Completeness", kind: "percent" },
      { key: "lostEarly", label: "Alive, last seen over a year before the end", kind: "number" },
    ],
    rows: rows.map((row) => ({
      arm: labels[row.arm],
      patients: row.patients,
      observed: row.observedYears,
      potential: row.potentialYears,
      completeness: row.completeness,
      lostEarly: publishableEnds(row, smallestCell).lostEarly,
    })),
  });
}

/** How often the valve was looked at, by group. */
export function scheduleTable(
  planned: PlannedHeading,
  rows: readonly EchoScheduleRow[],
): DisplayTable {
  const { heading, smallestCell, labels } = divided(planned);
  return table({
    ...heading,
    columns: [
      { key: "arm", label: "Group" },
      { key: "visits", label: "Echo visits", kind: "number" },
      { key: "rate", label: "Visits", unit: "per 100 patient-years", kind: "number", digits: 0 },
      { key: "symptoms", label: "For symptoms", kind: "percent" },
      { key: "median", label: "Years since last echo", kind: "number", digits: 1 },
      { key: "quartiles", label: "Quartiles of these" },
    ],
    rows: rows.map((row) => ({
      arm: labels[row.arm],
      visits: row.visits,
      rate: row.per100PatientYears,
      symptoms: publishableShare(row.symptoms, row.visits, smallestCell),
      median: row.sinceLastVisit.median,
      quartiles: formatRange(row.sinceLastVisit.lower, row.sinceLastVisit.upper, { digits: 1 }),
    })),
  });
}

/** Missing values, the columns that have any, worst first. */
export function missingTable(
  planned: PlannedHeading & { smallestCell: number },
  rows: readonly MissingnessRow[],
): DisplayTable {
  const { heading, smallestCell, labels } = divided(planned);
  const share = ({ applies, missing }: MissingnessRow["repair"]) =>
    publishableShare(missing, applies, smallestCell);
  // where few have a value, the number missing would tell how many
  const count = ({ applies, missing }: MissingnessRow["repair"]) =>
    isSmall(applies - missing, smallestCell) ? null : boundedCount(missing, smallestCell);
  const total = (row: MissingnessRow) =>
    (row.repair.missing + row.replacement.missing) /
    Math.max(1, row.repair.applies + row.replacement.applies);
  return table({
    ...heading,
    columns: [
      { key: "label", label: "Measurement" },
      { key: "repair", label: `Missing, ${labels.repair}`, kind: "number" },
      { key: "repairShare", label: `Share, ${labels.repair}`, kind: "percent" },
      { key: "replacement", label: `Missing, ${labels.replacement}`, kind: "number" },
      { key: "replacementShare", label: `Share, ${labels.replacement}`, kind: "percent" },
    ],
    rows: rows.filter((row) => total(row) > 0).sort((a, b) => total(b) - total(a)).map((row) => ({
      label: row.label,
      repair: count(row.repair),
      repairShare: share(row.repair),
      replacement: count(row.replacement),
      replacementShare: share(row.replacement),
    })),
  });
}

/**
 * Impaired ejection fraction after operation in patients of one group with as many marks before.
 */
export interface MarkedShare extends Pick<VentricleAfter["marks"][number], "arm" | "marks"> {
  /** Patients, or null where the count would tell a small one. */
  n: number | null;
  /** Share with an ejection fraction below half, where it can be published. */
  low: number | null;
}

/** By group and warning marks, what of it can be published. */
export function publishableMarks(
  { marks }: Pick<VentricleAfter, "marks">,
  smallestCell: number,
): MarkedShare[] {
  const arms = (["repair", "replacement"] as const).map((arm) =>
    marks.filter((cell) => cell.arm === arm)
  );
  // how many of a group were measured is told elsewhere, so hidden counts must not follow from it
  const shown = publishableCounts(arms.map((cells) => cells.map(({ n }) => n)), { smallestCell });
  return arms.flatMap((cells, i) =>
    cells.map(({ arm, marks, n, low }, j) => {
      const patients = shown.cells[i]?.[j] ?? null;
      return {
        arm,
        marks,
        n: patients,
        low: patients === null ? null : publishableShare(low, n, smallestCell),
      };
    })
  );
}

const markWords = { none: "no mark", one: "one mark", both: "both marks" };

/** Impaired ejection fraction after operation, by the warning marks present before. */
export function warningMarkTable(
  planned: PlannedHeading & { smallestCell: number },
  after: VentricleAfter,
): DisplayTable {
  const { heading, smallestCell, labels } = divided(planned);
  const rows = publishableMarks(after, smallestCell).map(({ arm, marks, n, low }): TableRow => (
    { arm: labels[arm], marks: markWords[marks], n, low }
  ));
  return table({
    ...heading,
    columns: [
      { key: "arm", label: "Group" },
      { key: "marks", label: "Before operation" },
      { key: "n", label: "Patients", kind: "number" },
      { key: "low", label: "Ejection fraction below 50% after", kind: "percent" },
    ],
    rows,
    notes: [...planned.notes ?? [], ...hiddenNote(rows, smallestCell)],
  });
}

/** Why cells are empty, where any are. */
function hiddenNote(rows: readonly TableRow[], smallestCell: number): string[] {
  return rows.some((row) => Object.values(row).includes(null))
    ? [
      `Not shown: counts below ${smallestCell}, and what they could be worked out from.`,
    ]
    : [];
}
