import { printedShare } from "../../disclosure/solver/mod.ts";
import type { TableItem, TableRow } from "../items/mod.ts";
import { countOf, everybody, type Notes, type Place, sizeOf } from "./facts.ts";

/** All who left theatre with a repair, and all who did not. */
export const repairedOfAll = "all: left with a repair";
export const notRepairedOfAll = "all: left without a repair";

/**
 * Reads the tables of the programme: shares of kinds of patients, which add up to all who left
 * theatre with a repair. How many did in each group stands elsewhere.
 */
export function readProgramme(table: TableItem, notes: Notes): void {
  const rows = table.rows;
  const place = (at: number, key: string) => ({ table: table.id, row: at, key });
  const digitsOf = (key: string) => table.columns.find((column) => column.key === key)?.digits ?? 1;
  const kind = (name: string) => name.replace(/^degenerative, (?=posterior|anterior|both)/, "");
  const patients = (name: string) => countOf("kind", kind(name));
  const share = (part: string, row: TableRow, at: number, key: string, whole: string) => {
    const value = row[key];
    if (typeof value !== "number") return;
    notes.share(part, printedShare(value, digitsOf(key)), { whole, place: place(at, key) });
  };
  switch (table.id) {
    case "programme-rates":
      for (const [by, some] of Map.groupBy(rows, (row) => String(row.by))) {
        const names = some.map((row) => {
          const at = rows.indexOf(row);
          const name = String(row.kind);
          notes.cell(patients(name), row.n, place(at, "n"));
          const repaired = countOf(patients(name), "repaired");
          notes.rest(patients(name), [repaired], table.id);
          share(repaired, row, at, "share", patients(name));
          wilson(repaired, row, { notes, digits: digitsOf("lower"), place: place(at, "lower") });
          return name;
        });
        const all = { whole: everybody, repaired: repairedOfAll };
        addUp(names.map(patients), { ...all, by, table, notes });
      }
      break;
    case "programme-types": {
      const names = rows.map((row, at) => {
        const name = String(row[table.columns[0]!.key]);
        notes.cell(patients(name), row.n, place(at, "n"));
        const without = countOf(patients(name), "not repaired");
        notes.sum(patients(name), [without, countOf(patients(name), "repaired")], table.id);
        share(without, row, at, "share", patients(name));
        if (typeof row.own === "number") {
          // to the nearest 5 per cent
          notes.share(without, { low: Math.max(0, row.own - 0.025), high: row.own + 0.025 }, {
            whole: notRepairedOfAll,
            place: place(at, "own"),
          });
        }
        wilson(without, row, { notes, digits: digitsOf("lower"), place: place(at, "lower") });
        return name;
      });
      addUp(names.map(patients), {
        whole: everybody,
        repaired: repairedOfAll,
        by: "kinds",
        table,
        notes,
      });
      break;
    }
    case "programme-durable":
      rows.forEach((row, at) => {
        if (row[table.columns[0]!.key] !== "All surgeons") return;
        share(notRepairedOfAll, row, at, "notRepaired", everybody);
      });
      break;
    case "programme-points": {
      // a logistic model predicts as many in all as there were
      const predicted = rows.map((row, at) => {
        const with_ = countOf("points", String(row.points));
        notes.cell(with_, row.n, place(at, "n"));
        return { row, at, name: with_ };
      });
      notes.suppose(everybody, predicted.map(({ name }) => name), table.id);
      break;
    }
  }
}

/** Everybody is repaired or not, in either group. */
export function relateProgramme(notes: Notes, finalRepair: (group: string) => string): void {
  notes.sum(everybody, [repairedOfAll, notRepairedOfAll], "repaired or not");
  notes.sum(repairedOfAll, notes.knows.groups.map(finalRepair), "repaired in both groups");
  notes.sum(everybody, notes.knows.groups.map(sizeOf), "both groups");
}

/** Kinds that together are everybody, as far as the numbers let suppose it. */
function addUp(
  kinds: readonly string[],
  { whole, repaired, by, table, notes }: {
    whole: string;
    repaired: string;
    by: string;
    table: TableItem;
    notes: Notes;
  },
): void {
  const size = (name: string) => {
    const clue = notes.clues.find(({ parts }) => parts.length === 1 && parts[0]?.count === name);
    return clue && clue.low === clue.high ? clue.low : undefined;
  };
  const sizes = kinds.map(size);
  const everyone = size(whole);
  const sum = sizes.reduce<number>((all, one) => all + (one ?? NaN), 0);
  if (everyone === undefined || sum !== everyone) return;
  notes.sum(repaired, kinds.map((name) => countOf(name, "repaired")), `${table.id}, ${by}`);
}

/** Limits by Wilson's formula that are printed as these beside a share: which counts have them? */
function wilson(
  name: string,
  { n, share, lower, upper }: TableRow,
  { notes, digits, place }: { notes: Notes; digits: number; place: Place },
): void {
  if (typeof n !== "number" || typeof share !== "number") return;
  if (typeof lower !== "number" || typeof upper !== "number") return;
  const z = 1.959963984540054;
  const close = (value: number, printed: number) =>
    Math.abs(value - printed) <= 0.5 * 10 ** (-digits - 2) + 1e-9;
  // limits are moved with the share as far as that was rounded
  const fits = (count: number) => {
    const p = count / n;
    const middle = (p + z * z / (2 * n)) / (1 + z * z / n);
    const half = z / (1 + z * z / n) * Math.sqrt(p * (1 - p) / n + z * z / (4 * n * n));
    const moved = share - p;
    return close(Math.max(0, middle - half + moved), lower) &&
      close(Math.min(1, middle + half + moved), upper);
  };
  let low = 0;
  while (low <= n && !fits(low)) low++;
  let high = n;
  while (high >= low && !fits(high)) high--;
  if (low <= high) notes.found(name, { low, high }, place);
}
