import { report, type Table } from "./table.ts";
import type { Column, Visits } from "./types.ts";

/** Columns without which a visit says nothing; an error there casts doubt on the patient. */
const keys = new Set(["id", "day", "mr"]);

/**
 * Links echo visits to their patients and sorts them, checking what needs both tables.
 *
 * An error in a visit's day or grade marks the patient, whose recurrence can then not be dated. Any
 * other error blanks that one value, which is listed.
 *
 * @returns The visits, and 1 for each patient with a visit that cannot be believed.
 */
export function linkVisits(
  patients: Table,
  visits: Table,
): { visits: Visits; invalidVisits: Uint8Array } {
  const owner = ownersOf(patients, visits);
  checkVisits(patients, visits, owner);
  const invalidVisits = new Uint8Array(patients.n);
  visits.invalid.fill(0);
  for (const problem of visits.problems) {
    if (problem.row === null) continue;
    const patient = owner[problem.row] ?? -1;
    problem.patient = patient < 0 ? null : patient;
    if (problem.severity !== "error" || keys.has(problem.column ?? "")) continue;
    problem.remedy += "; not used until then";
  }
  for (const { row, column: name } of visits.errors) {
    const patient = owner[row] ?? -1;
    if (keys.has(name)) {
      visits.invalid[row] = 1;
      if (patient >= 0) invalidVisits[patient] = 1;
      continue;
    }
    const column = visits.columns.get(name);
    if (column instanceof Float64Array) column[row] = NaN;
    else if (column) column[row] = "";
  }
  return { visits: sortVisits(patients.n, visits, owner), invalidVisits };
}

function ownersOf(patients: Table, visits: Table): Int32Array {
  const owner = new Int32Array(visits.n).fill(-1);
  const ids = visits.columns.get("id");
  const known = patients.columns.get("id");
  if (!ids || !known || ids instanceof Float64Array || known instanceof Float64Array) return owner;
  const rows = new Map(known.map((id, row) => [id, row]));
  for (let row = 0; row < visits.n; row++) {
    const id = ids[row] ?? "";
    if (id === "") continue;
    owner[row] = rows.get(id) ?? -1;
    if (owner[row] !== -1) continue;
    report(visits, row, {
      rule: "unknown-patient",
      column: "id",
      severity: "structural",
      message: "is the pseudonym of nobody in the patients table",
      remedy: "add the patient, or remove the visit",
    });
  }
  return owner;
}

function checkVisits(patients: Table, visits: Table, owner: Int32Array): void {
  const day = visits.columns.get("day");
  const end = patients.columns.get("fu_days");
  const edd = visits.columns.get("lvedd");
  const esd = visits.columns.get("lvesd");
  const seen = new Set<number>();
  for (let row = 0; row < visits.n; row++) {
    const patient = owner[row] ?? -1;
    const when = Number(day?.[row] ?? NaN);
    if (patient >= 0 && when > Number(end?.[patient] ?? NaN)) {
      report(visits, row, {
        rule: "visit-in-follow-up",
        column: "day",
        severity: "error",
        message: "is after the end of the patient's follow-up",
        remedy: "correct day or fu_days",
      });
    }
    // days are whole and below 2^15 where they are valid
    const key = patient * 32768 + when;
    if (patient >= 0 && when >= 0 && when < 32768) {
      if (seen.has(key)) {
        report(visits, row, {
          rule: "visit-twice",
          column: "day",
          severity: "error",
          message: "is the day of another visit of the patient",
          remedy: "keep one of them",
        });
      }
      seen.add(key);
    }
    if (Number(esd?.[row] ?? NaN) >= Number(edd?.[row] ?? NaN)) {
      report(visits, row, {
        rule: "systole-below-diastole",
        column: "lvesd",
        severity: "error",
        message: "is not below the end-diastolic diameter",
        remedy: "correct lvesd or lvedd",
      });
    }
  }
}

/** Counting sort by patient, then by day within each patient; ties in the file's order. */
function sortVisits(n: number, table: Table, owner: Int32Array): Visits {
  const offsets = new Int32Array(n + 1);
  for (const patient of owner) if (patient >= 0) offsets[patient + 1]!++;
  for (let i = 0; i < n; i++) offsets[i + 1]! += offsets[i]!;
  const count = offsets[n] ?? 0;
  const order = new Int32Array(count);
  const next = offsets.slice(0, n);
  for (let row = 0; row < owner.length; row++) {
    const patient = owner[row]!;
    if (patient >= 0) order[next[patient]!++] = row;
  }
  const day = table.columns.get("day");
  if (day instanceof Float64Array) {
    for (let i = 0; i < n; i++) {
      order.subarray(offsets[i], offsets[i + 1]).sort((a, b) => day[a]! - day[b]! || a - b);
    }
  }
  const arranged = (name: string): Float64Array => {
    const column = table.columns.get(name);
    const values = column instanceof Float64Array ? column : new Float64Array(table.n).fill(NaN);
    return Float64Array.from(order, (row) => values[row]!);
  };
  const columns: Record<string, Column> = {};
  for (const [name, column] of table.columns) {
    if (keys.has(name)) continue;
    columns[name] = column instanceof Float64Array
      ? arranged(name)
      : Array.from(order, (row) => column[row]!);
  }
  return { count, offsets, day: arranged("day"), mr: arranged("mr"), columns };
}
