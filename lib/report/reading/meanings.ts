import type { TableItem, TableRow } from "../items/mod.ts";
import { countOf, everybody, type Notes, type Place, sizeOf } from "./facts.ts";
import { readCompleteness, readFlowTable } from "./flow-tables.ts";
import { died, finalRepair, finalReplacement } from "./names.ts";
import { readProgramme } from "./programme.ts";
import { atRiskOf, curveOf, isEffective } from "./samples.ts";
import { type Reading, reading } from "./table-reading.ts";

/**
 * What the tables of the project's notebooks mean, by their ids: which counts are parts of which. A
 * table that is not here is read by the general rules alone.
 */
export function readMeaning(table: TableItem, notes: Notes): void {
  const read = meanings[table.id];
  if (read) read(reading(table, notes));
  else if (curveOf(table.id.replace(/-table$/, ""))) readAtRisk(reading(table, notes));
  readProgramme(table, notes);
}

const leftWithLeak = (group: string) => countOf(group, "left with a leak");

const meanings: Record<string, (read: Reading) => void> = {
  "flow-table": readFlowTable,
  procedures: ({ table, notes, groups, cell, place }) =>
    table.rows.forEach((row, at) => {
      const group = groups[at];
      if (!group) return;
      const total = cell(at, "total", sizeOf(group));
      const parts = [
        cell(at, "repair", finalRepair(group)),
        cell(at, "replacement", finalReplacement(group)),
      ];
      notes.sum(total, parts, table.id);
      notes.shareCell(parts[1 - at]!, row.share, { whole: total, place: place(at, "share") });
    }),
  intention: ({ table, groups, cell }) =>
    table.rows.forEach((row, at) => {
      const intended = row.by === "as intended";
      cell(at, "repairConverted", intended ? finalReplacement(groups[0]) : finalRepair(groups[1]));
      cell(
        at,
        "replacementConverted",
        intended ? finalRepair(groups[1]) : finalReplacement(groups[0]),
      );
      if (!intended) return;
      cell(at, "repair", sizeOf(groups[0]));
      cell(at, "replacement", sizeOf(groups[1]));
    }),
  completeness: readCompleteness,
  "missing-values": ({ table, notes, groups, cell, place }) =>
    table.rows.forEach((row, at) =>
      (["repair", "replacement"] as const).forEach((key, k) => {
        const name = countOf(groups[k]!, `${row.label}, missing`);
        const applies = countOf(groups[k]!, `${row.label}, applies`);
        cell(at, key, name);
        notes.clues.push(atMost(applies, sizeOf(groups[k]!), table.id));
        notes.shareCell(name, row[`${key}Share`], {
          whole: applies,
          place: place(at, `${key}Share`),
        });
      })
    ),
  "not-at-risk": ({ table, notes, groups, cell }) =>
    (["repair", "replacement"] as const).forEach((key, k) => {
      const group = groups[k]!;
      cell(0, key, leftWithLeak(group));
      if (table.rows.length > 1) return;
      notes.suppose(
        sizeOf(group),
        [countOf(group, "at risk of recurrence, whole"), leftWithLeak(group)],
        table.id,
      );
    }),
  "grades-table": ({ table, notes, place }) =>
    table.rows.forEach((row, at) => {
      const group = String(row.group);
      const followed = countOf(group, `followed at ${row.years} y`);
      notes.cell(followed, row.followed, place(at, "followed"));
      notes.clues.push(atMost(followed, sizeOf(group), table.id));
      const graded = countOf(group, `graded at ${row.years} y`);
      const not = notes.rest(followed, [graded], table.id);
      notes.shareCell(not, row.notLooked, { whole: followed, place: place(at, "notLooked") });
      let worse = graded;
      for (const grade of [1, 2, 3, 4]) {
        const key = `from${grade}`;
        const name = countOf(group, `grade ${grade} or worse at ${row.years} y`);
        notes.rest(worse, [name], table.id);
        notes.shareCell(name, row[key], { whole: graded, place: place(at, key) });
        worse = name;
      }
    }),
  "observed-expected": ({ table, cell }) =>
    table.rows.forEach((row, at) => cell(at, "observed", died(String(row.group)))),
  "linearised-rates": readRates,
  "early-events": ({ table, notes, groups, cell, place }) =>
    table.rows.forEach((row, at) =>
      (["repair", "replacement"] as const).forEach((key, k) => {
        const group = groups[k]!;
        const name = cell(at, key, countOf(group, String(row.event)));
        notes.rest(sizeOf(group), [name], table.id);
        notes.shareCell(name, row[`${key}Share`], {
          whole: sizeOf(group),
          place: place(at, `${key}Share`),
        });
      })
    ),
  "warning-marks": ({ table, notes, place }) => {
    for (const [arm, rows] of Map.groupBy(table.rows, (row) => String(row.arm))) {
      const names = rows.map((row) => {
        const at = table.rows.indexOf(row);
        const name = countOf(arm, `measured, ${row.marks}`);
        notes.cell(name, row.n, place(at, "n"));
        const low = countOf(arm, `low after, ${row.marks}`);
        notes.rest(name, [low], table.id);
        notes.shareCell(low, row.low, { whole: name, place: place(at, "low") });
        return name;
      });
      const low = rows.map(({ marks }) => countOf(arm, `low after, ${marks}`));
      notes.rest(countOf(arm, "low after"), low, table.id);
      notes.rest(countOf(arm, "measured before and after"), names, table.id);
    }
  },
  "ventricle-change": ({ table, notes, cell }) =>
    table.rows.forEach((row, at) => {
      const group = String(row.group);
      notes.rest(
        sizeOf(group),
        [cell(at, "n", countOf(group, "measured before and after"))],
        table.id,
      );
    }),
  grid: ({ table, notes, place }) =>
    readPopulations(table, { notes, key: "patients", label: (row) => row.population, place }),
  "populations-balance-table": ({ table, notes, place }) =>
    readPopulations(table, { notes, key: "patients", label: (row) => row.population, place }),
  "techniques-arms": ({ table, cell }) =>
    table.rows.forEach((row, at) =>
      cell(at, "patients", countOf(String(row.comparison), String(row.arm)))
    ),
  "recurrence-subgroups-table": ({ table, notes, cell }) => {
    for (const [cutOff, rows] of Map.groupBy(table.rows, ({ subgroup }) => String(subgroup))) {
      const sides = rows.filter(({ side }) => side === "yes" || side === "no");
      const names = sides.map((row) =>
        cell(table.rows.indexOf(row), "n", countOf(cutOff, String(row.side)))
      );
      if (names.length > 0) notes.rest(everybody, names, table.id);
    }
  },
};

/** Numbers at risk of one endpoint: of death, less those who left with a leak or had the event. */
function readAtRisk({ table, notes, place }: Reading): void {
  const curve = curveOf(table.id.replace(/-table$/, ""));
  if (!curve || isEffective(table)) return;
  table.rows.forEach((row, at) => {
    const group = String(row.group);
    if (!notes.knows.groups.includes(group) || typeof row.years !== "number") return;
    notes.cell(atRiskOf(group, curve, row.years), row.atRisk, place(at, "atRisk"));
  });
}

/** Numbers at risk in the same patients at one time: of recurrence fewer than of death. */
export function relateAtRisk(notes: Notes): void {
  for (const name of [...notes.places.keys()]) {
    const [, group, years, sample] = /^(.+): at risk of recurrence at (.+) y, (\w+)$/.exec(name) ??
      [];
    if (!group || !years || (sample !== "whole" && sample !== "matched")) continue;
    for (const endpoint of ["survival", "reoperation"] as const) {
      const larger = atRiskOf(group, { sample, endpoint }, Number(years));
      if (notes.has(larger)) notes.rest(larger, [name], "numbers at risk beside each other");
    }
  }
}

/** Events early and late, kinds within all of them, worse within bad, rates of person-time. */
function readRates({ table, notes, place }: Reading): void {
  for (const group of notes.knows.groups) {
    const rows = table.rows.flatMap((row, at) => row.group === group ? [{ row, at }] : []);
    const events = (row: TableRow, period: string) => countOf(group, `${row.event}, ${period}`);
    for (const { row, at } of rows) {
      for (const period of ["early", "late"]) {
        notes.cell(events(row, period), row[period], place(at, period));
      }
      notes.shareCell(events(row, "early"), row.share, {
        whole: sizeOf(group),
        place: place(at, "share"),
      });
      readRate(row, { name: events(row, "late"), notes, place: place(at, "rate") });
    }
    const named = (pattern: RegExp) =>
      rows.filter(({ row }) => pattern.test(String(row.event))).map(({ row }) => row);
    const [death] = named(/^Death of any/);
    if (death) notes.sum(died(group), [events(death, "early"), events(death, "late")], table.id);
    const within = (wholes: TableRow[], parts: TableRow[], periods: string[]) => {
      const [whole] = wholes;
      if (!whole || parts.length === 0) return;
      for (const period of periods) {
        notes.rest(events(whole, period), parts.map((part) => events(part, period)), table.id);
      }
    };
    within(named(/, any$/), named(/^Reintervention for/), ["early", "late"]);
    within(named(/^Death of any/), named(/^Valve-related death/), ["early", "late"]);
    within(named(/2\+/), named(/3\+/), ["early"]);
  }
}

/** A rate per 100 patient-years times the patient-years is a number of events. */
function readRate(
  { rate, exposure }: TableRow,
  { name, notes, place }: { name: string; notes: Notes; place: Place },
): void {
  if (typeof rate !== "number" || typeof exposure !== "number") return;
  // the rounding of both, as they are written
  const [half, years] = [0.005, 0.5];
  notes.found(name, {
    low: Math.max(0, Math.ceil((rate - half) / 100 * (exposure - years) - 1e-9)),
    high: Math.floor((rate + half) / 100 * (exposure + years) + 1e-9),
  }, place);
}

function readPopulations(
  table: TableItem,
  { notes, key, label, place }: {
    notes: Notes;
    key: string;
    label: (row: TableRow) => unknown;
    place: (row: number, key: string) => Place;
  },
): void {
  const names = new Set<string>();
  table.rows.forEach((row, at) => {
    const name = sizeOf(String(label(row)));
    names.add(name);
    notes.cell(name, row[key], place(at, key));
  });
  for (const name of names) notes.rest(everybody, [name], table.id);
  for (const { part, whole } of notes.knows.within ?? []) {
    if (names.has(sizeOf(part))) notes.rest(sizeOf(whole), [sizeOf(part)], table.id);
  }
}

/** One count is at most another. */
function atMost(part: string, whole: string, from: string) {
  return {
    parts: [{ count: whole, times: 1 }, { count: part, times: -1 }],
    low: 0,
    high: Infinity,
    from,
  };
}
