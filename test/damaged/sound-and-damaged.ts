import { csvOf, patientsOf, replaced, type Row } from "../cohort/small-cohort.ts";
import type { WorkbookCell } from "./workbook.ts";

/** One damaged file, and every line that must be said of it. */
export interface DamagedFile {
  /** File name in `files/`. */
  name: string;
  table: "patients" | "visits";
  content: Uint8Array;
  /** Changes to the study's plan. */
  changes?: Record<string, unknown>;
  /** Severity, where and what; by hand, from the dictionary's rules and in our own words. */
  says: string[];
}

export const encoder = new TextEncoder();
export const sound = csvOf(patientsOf([{}, {}, { ...replaced }, {}]));
export const soundVisits = "id,day,mr,lvef\nP0001,40,0,55\nP0001,400,1,57\nP0003,30,0,60\n";
export const files: DamagedFile[] = [];

export function add(
  name: string,
  content: string | Uint8Array,
  says: string[],
  changes?: Record<string, unknown>,
): void {
  const table = name.startsWith("visits") ? "visits" : "patients";
  const bytes = typeof content === "string" ? encoder.encode(content) : content;
  // lines name the file by its extension alone: "@, lvef: ..."
  files.push({ name, table, content: bytes, says: says.map((s) => s.replace("@", name)), changes });
}

/** The sound file with one patient's values changed: the one on line 3. */
export function withRow(row: Row): string {
  return csvOf(patientsOf([{}, row, { ...replaced }, {}]));
}

export function utf16(text: string, big: boolean): Uint8Array {
  const bytes = new Uint8Array(2 * text.length);
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < text.length; i++) view.setUint16(2 * i, text.charCodeAt(i), !big);
  return bytes;
}

export const cut = (bytes: Uint8Array, length: number) => bytes.slice(0, length);
export const table = sound.trim().split("\n").map((line) => line.split(","));
export const cells: WorkbookCell[][] = table.map((row, i) =>
  row.map((text) => i > 0 && /^\d+(\.\d+)?$/.test(text) ? Number(text) : text)
);
export const changed = (row: number, name: string, cell: WorkbookCell): WorkbookCell[][] =>
  cells.map((cellsOfRow, i) =>
    cellsOfRow.map((old, j) => i === row && table[0]?.[j] === name ? cell : old)
  );

export const asCsv = "save the table as CSV in UTF-8, or as XLSX";
export const quotes = "put values in quotation marks whole, or not at all";
export const number =
  'correct it, with a point for decimals, say in "codes" of its mapping which number it stands for, ' +
  "or leave it blank where it is missing";
export const impossible = "correct it, or leave it blank where it is missing";
export const code =
  'say in "codes" of its mapping what it stands for, or leave it blank where it is missing';
export const rename =
  'leave it out with "ignore" in the study file\'s mapping, map it to a column of the dictionary ' +
  'there, or declare it among the study file\'s own "columns"';
export const lacking =
  "add it, or map the column that holds it; its values may be blank unless they " +
  "identify, group or time a patient";
export const dates = "replace dates by days from the operation; keep the year of operation only";
export const words = "remove free text, names and addresses before the file comes here";
export const again = "save it again as XLSX, or save the sheet as CSV";
