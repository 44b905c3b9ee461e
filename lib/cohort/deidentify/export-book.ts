import type { TableLayout } from "../../study/mapping/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { dayOf, looksLikeCode, operationOfPatient } from "../cells/mod.ts";
import type { TableName } from "../dictionary/mod.ts";
import type { LabelBook } from "./label-book.ts";

/** Rows of an export's table, and lines beneath it that are none. */
export interface RowCounts {
  read: number;
  notes: number;
  /** Rows whose record number is a patient's but for leading zeros, capitals or blanks. */
  alike: number;
}

/** What is known of the patients of an export while it is read. */
export interface ExportBook {
  /** How rows of a table are taken: `P` and a place for a record number, a label for a surgeon. */
  taking(name: TableName, layout: TableLayout): {
    counts: RowCounts;
    header(names: string[]): string[];
    row(cells: string[]): string[] | null;
  };
  /** Record numbers by place; `patients` must be read before `visits`. */
  ids(): string[];
}

// a line of one cell, or of so few and no record number, is a note beneath the table
const mostOfNote = 2;

/** An empty book. */
export function exportBook(study: Study, labels: LabelBook): ExportBook {
  const places = new Map<string, number>();
  const operations = new Map<number, string>();
  const rule = study.mapping.derived.visits.find((one) => one.rule === "days-after-operation");
  /** Record numbers as they are compared; -1 where those of two patients are the same so. */
  const compared = new Map<string, number>();
  const placeOf = (id: string): number => {
    let place = places.get(id);
    if (place === undefined) places.set(id, place = places.size);
    return place;
  };
  return {
    ids: () => [...places.keys()],
    taking(name, layout) {
      const counts: RowCounts = { read: 0, notes: 0, alike: 0 };
      const ofPatient = (raw: string): number => {
        if (name === "patients") {
          const place = placeOf(raw);
          const key = comparedAs(raw);
          compared.set(key, (compared.get(key) ?? place) === place ? place : -1);
          return place;
        }
        // a spreadsheet takes zeros away from one of two tables
        const place = places.has(raw) ? -1 : compared.get(comparedAs(raw)) ?? -1;
        if (place >= 0) counts.alike++;
        return place >= 0 ? place : placeOf(raw);
      };
      let id = -1;
      let operation = -1;
      let surgeons: number[] = [];
      let width = 0;
      return {
        counts,
        header(names) {
          id = names.indexOf(layout.id);
          width = names.length;
          operation = rule && name === "patients" ? names.indexOf(rule.operation) : -1;
          const read = new Set(
            study.mapping.derived[name].flatMap((rule) =>
              rule.rule === "first-of" && rule.column === "surgeon" ? rule.sources : []
            ),
          );
          surgeons = names.flatMap((heading, place) =>
            read.has(heading) || isSurgeon(study.mapping[name][heading]) ? [place] : []
          );
          return name === "visits" ? [...names, operationOfPatient] : names;
        },
        row(cells) {
          counts.read++;
          const raw = (cells[id] ?? "").normalize("NFC").trim();
          const filled = cells.filter((cell) => cell.trim() !== "").length;
          if (filled <= 1 || (raw === "" && filled <= mostOfNote)) {
            counts.notes++;
            return null;
          }
          const row = cells.length < width
            ? [...cells, ...Array.from({ length: width - cells.length }, () => "")]
            : cells;
          const place = raw === "" ? -1 : ofPatient(raw);
          if (id >= 0) row[id] = place < 0 ? "" : `P${place}`;
          for (const at of surgeons) {
            const who = (row[at] ?? "").trim();
            if (who !== "" && !looksLikeCode(who)) row[at] = labels.labelOf(who);
          }
          if (operation >= 0 && rule && place >= 0) {
            const day = dayOf(row[operation] ?? "", rule.operationOrder);
            if (!Number.isNaN(day)) operations.set(place, isoDate(day));
          }
          return name === "visits" ? [...row, operations.get(place) ?? ""] : row;
        },
      };
    },
  };
}

function comparedAs(id: string): string {
  return id.toLowerCase().replace(/\s+/g, "").replace(/^(\d+)\.0$/, "$1").replace(/^0+(?=\w)/, "");
}

function isSurgeon(source: unknown): boolean {
  return source === "surgeon" ||
    (typeof source === "object" && source !== null && "column" in source &&
      source.column === "surgeon");
}

function isoDate(day: number): string {
  return new Date(day * 86_400_000).toISOString().slice(0, 10);
}
