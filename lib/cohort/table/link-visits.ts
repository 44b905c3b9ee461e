import { numberAt, publishedColumns, shownNumber, shownTogether, withLazy } from "../cells/mod.ts";
import type { PseudonymIndex } from "./pseudonym-index.ts";
import { costOf, settleErrors, visitKeys } from "./settle-errors.ts";
import { report, type Table } from "./table.ts";
import type { Visits } from "../model/mod.ts";

/** Visits that have found their patients. */
export interface LinkedVisits {
  /** Visits that are used. */
  used: number;
  /** Visits that are not: of nobody, no day, no grade, or either cannot be true. */
  dropped: number;
  /** Where each patient's begin among those that are used, as {@link Visits} has it. */
  offsets: Int32Array;
  /** Rows of the table that are used, in order. */
  rows: Int32Array;
  /** Puts those that are used in order. */
  visits: () => Visits;
}

/**
 * Links echo visits to their patients and sorts them, checking what needs both tables.
 *
 * A visit whose day or grade is missing or cannot be true is dropped, and the patient stays: what
 * other visits saw is still known. Any other error makes that one value missing. Both are listed.
 */
export function linkVisits(
  patients: Table,
  visits: Table,
  index: PseudonymIndex,
): LinkedVisits {
  const owner = ownersOf(visits, index);
  checkVisits(patients, visits, owner);
  const all = orderOf(patients.n, visits, owner);
  checkTwice(visits, owner, all.rows);
  for (const problem of visits.problems) {
    if (problem.row === null) continue;
    const patient = owner[problem.row] ?? -1;
    problem.patient = patient < 0 ? null : patient;
  }
  settleErrors(visits);
  const dropped = visits.invalid.reduce((sum, invalid) => sum + invalid, 0);
  const order = dropped === 0 ? all : withoutInvalid(all, visits.invalid);
  const { offsets, rows } = order;
  return { used: rows.length, dropped, offsets, rows, visits: () => arrange(visits, order) };
}

function ownersOf(visits: Table, index: PseudonymIndex): Int32Array {
  const column = visits.columns.get("id");
  if (!column || !("pool" in column)) return new Int32Array(visits.n).fill(-1);
  const ids = column;
  // each visit's owner in place of where its pseudonym lies, which nobody asks for after that
  const owner = new Int32Array(ids.places.buffer, ids.places.byteOffset, visits.n);
  visits.columns.delete("id");
  let before = { place: -1, owner: -1 };
  let named = 0;
  let unknown = 0;
  for (let row = 0; row < visits.n; row++) {
    const place = ids.places[row]!;
    if (ids.lengths[row] === 0) {
      owner[row] = -1;
      continue;
    }
    named++;
    // visits of one patient mostly follow each other, and then have one text between them
    if (place !== before.place) before = { place, owner: index.rowOf(ids, row) };
    owner[row] = before.owner;
    if (owner[row] !== -1) continue;
    unknown++;
    report(visits, row, {
      rule: "unknown-patient",
      column: "id",
      severity: "error",
      message: "is the pseudonym of nobody in the patients table",
      remedy: "add the patient, or remove the visit",
    });
  }
  if (2 * unknown > named) {
    report(visits, null, {
      rule: "other-patients",
      column: "id",
      severity: "structural",
      message: `${unknown} of ${named} visits are of nobody in the patients table`,
      remedy: "the two files do not go together: give both the same pseudonyms",
    });
  }
  return owner;
}

function checkVisits(patients: Table, visits: Table, owner: Int32Array): void {
  const day = visits.columns.get("day");
  const end = patients.columns.get("fu_days");
  const edd = visits.columns.get("lvedd");
  const esd = visits.columns.get("lvesd");
  for (let row = 0; row < visits.n; row++) {
    const patient = owner[row] ?? -1;
    if (patient >= 0 && numberAt(day, row) > numberAt(end, patient)) {
      report(visits, row, {
        rule: "visit-in-follow-up",
        column: "day",
        value: () =>
          shownTogether(
            "day",
            ["fu_days"],
            (name) => shownNumber(name === "day" ? numberAt(day, row) : numberAt(end, patient)),
          ),
        severity: "error",
        message: "is after the end of the patient's follow-up",
        remedy: "correct day or fu_days",
      });
    }
    if (numberAt(esd, row) >= numberAt(edd, row)) {
      report(visits, row, {
        rule: "systole-below-diastole",
        column: "lvesd",
        beside: ["lvedd"],
        value: () =>
          shownTogether(
            "lvesd",
            ["lvedd"],
            (name) => shownNumber(numberAt(name === "lvesd" ? esd : edd, row)),
          ),
        severity: "error",
        message: "is not below the end-diastolic diameter",
        remedy: "correct lvesd or lvedd",
      });
    }
  }
}

/**
 * The day of a patient's visit stands once; rows in order, so that two of a day are neighbours. A
 * visit that is lost for another reason takes no other's place.
 */
function checkTwice(visits: Table, owner: Int32Array, rows: Int32Array): void {
  const day = visits.columns.get("day");
  const lost = new Set(
    visits.errors.filter(({ columns, rule }) =>
      costOf("visits", { column: columns[0] ?? null, rule }) === "visit"
    ).map(({ row }) => row),
  );
  let kept = -1;
  for (const row of rows) {
    if (lost.has(row)) continue;
    if (kept < 0 || owner[kept] !== owner[row] || numberAt(day, kept) !== numberAt(day, row)) {
      kept = row;
      continue;
    }
    report(visits, row, {
      rule: "visit-twice",
      column: "day",
      value: shownNumber(numberAt(day, row)),
      severity: "error",
      message: "is the day of another visit of the patient",
      remedy: "keep one of them",
    });
  }
}

/** Rows of visits by patient and day, and where each patient's begin. */
interface VisitOrder {
  offsets: Int32Array;
  rows: Int32Array;
}

/** Counting sort by patient, then by day within each; ties in the file's order, no day last. */
function orderOf(n: number, table: Table, owner: Int32Array): VisitOrder {
  const offsets = new Int32Array(n + 1);
  for (const patient of owner) if (patient >= 0) offsets[patient + 1]!++;
  for (let i = 0; i < n; i++) offsets[i + 1]! += offsets[i]!;
  const rows = new Int32Array(offsets[n] ?? 0);
  const next = offsets.slice(0, n);
  for (let row = 0; row < owner.length; row++) {
    const patient = owner[row]!;
    if (patient >= 0) rows[next[patient]!++] = row;
  }
  const day = table.columns.get("day");
  const last = (row: number) => {
    const value = numberAt(day, row);
    return Number.isNaN(value) ? Number.MAX_VALUE : value;
  };
  // few each, mostly in order already: put where they belong one by one, without an array apiece
  for (let i = 0; i < n; i++) {
    for (let at = offsets[i]! + 1; at < offsets[i + 1]!; at++) {
      const row = rows[at]!;
      const own = last(row);
      let to = at;
      for (; to > offsets[i]! && last(rows[to - 1]!) > own; to--) rows[to] = rows[to - 1]!;
      rows[to] = row;
    }
  }
  return { offsets, rows };
}

/** The same order without rows that are not used; those that are take their places. */
function withoutInvalid({ offsets, rows }: VisitOrder, invalid: Uint8Array): VisitOrder {
  let used = 0;
  let at = 0;
  for (let patient = 1; patient < offsets.length; patient++) {
    for (; at < offsets[patient]!; at++) if (!invalid[rows[at]!]) rows[used++] = rows[at]!;
    offsets[patient] = used;
  }
  return { offsets, rows: rows.subarray(0, used) };
}

function arrange(table: Table, { offsets, rows }: VisitOrder): Visits {
  const held = (names: Iterable<string>) =>
    publishedColumns(
      new Map(Array.from(names, (name) => [name, { column: table.columns.get(name), rows }])),
    );
  const others = held([...table.columns.keys()].filter((name) => !visitKeys.has(name)));
  const visits = { count: rows.length, offsets, columns: others };
  return withLazy(visits, held(["day", "mr"]), ["day", "mr"]) as Visits;
}
