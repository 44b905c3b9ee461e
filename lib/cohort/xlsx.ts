import { readSheet } from "read-excel-file/universal";
import type { RecordTaker } from "./csv.ts";
import { FaultError, type FileFault, type FileFormat, wholeFile } from "./file-format.ts";
import { allBytes } from "./open-bytes.ts";
import { safeWorkbook } from "./workbook-parts.ts";

const largestFile = 200 * 2 ** 20;

/**
 * Reads one sheet of an XLSX workbook, record by record: the first sheet, or the one named.
 *
 * Cells come as text: numbers with a decimal point and at most 15 digits, as a spreadsheet shows
 * them; dates, which a workbook marks by their format, as `2014-03-02`; yes and no as 1 and 0. Empty
 * rows are skipped. The workbook is held in memory, under limits: see {@link safeWorkbook}.
 *
 * @returns `null`, or why reading stopped.
 */
export async function readXlsx(
  path: string,
  compressed: boolean,
  taker: RecordTaker,
  sheet?: string,
): Promise<FileFault | null> {
  try {
    const file = await allBytes(path, largestFile);
    taker.progress?.(file.length, file.length);
    const rows = await rowsOf(safeWorkbook(file), sheet);
    const format: FileFormat = {
      kind: "xlsx",
      compressed,
      encoding: null,
      delimiter: null,
      decimal: ".",
    };
    taker.begin(format);
    rows.forEach((row, i) => {
      const record = row.map(textOf);
      if (record.some((text) => text !== "")) taker.take(record, i + 1);
    });
    return null;
  } catch (error) {
    if (error instanceof FaultError) return error.fault;
    throw error;
  }
}

async function rowsOf(workbook: ArrayBuffer, sheet?: string): Promise<readonly unknown[][]> {
  try {
    return await readSheet(workbook, sheet ?? 1, { trim: false });
  } catch (error) {
    if (sheet !== undefined && error instanceof Error && error.name === "SheetNotFoundError") {
      throw wholeFile(
        "the workbook has no sheet of the name that the study file gives",
        "correct files.format in the study file",
      );
    }
    throw wholeFile(
      "the workbook is damaged, or not one that can be read",
      "save it again as XLSX, or save the sheet as CSV",
    );
  }
}

function textOf(value: unknown): string {
  if (value === null || value === undefined) return "";
  if (value instanceof Date) return dateText(value);
  if (typeof value === "number") return String(Number(value.toPrecision(15)));
  if (typeof value === "boolean") return value ? "1" : "0";
  return String(value);
}

function dateText(date: Date): string {
  if (Number.isNaN(date.getTime())) return "#DATE";
  const text = date.toISOString();
  return text.endsWith("T00:00:00.000Z") ? text.slice(0, 10) : text.slice(0, 19);
}
