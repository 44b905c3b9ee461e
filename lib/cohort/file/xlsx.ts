import readWorkbook, { readSheet } from "read-excel-file/universal";
import type { RecordTaker } from "./csv.ts";
import { FaultError, type FileFault, wholeFile } from "./file-format.ts";
import { allBytes } from "./open-bytes.ts";
import { mergedDownwards } from "./workbook-merges.ts";
import { safeWorkbook } from "./workbook-parts.ts";

const largestFile = 200 * 2 ** 20;

/**
 * Reads one sheet of an XLSX workbook, record by record: the first sheet, or the one named.
 *
 * Cells come as text: numbers with a decimal point and at most 15 digits, as a spreadsheet shows
 * them; dates, which a workbook marks by their format, as `2014-03-02`; yes and no as 1 and 0.
 * Empty rows are skipped. The workbook is held in memory, under limits: see {@link safeWorkbook}.
 *
 * @returns `null`, or why reading stopped.
 */
export async function readXlsx(
  path: string,
  compressed: boolean,
  taker: RecordTaker,
  sheet?: string,
): Promise<FileFault | null> {
  return await untilFault(async () => {
    const rows = await rowsOf(await openWorkbook(path, taker.progress), sheet);
    give(rows, compressed, taker);
  });
}

/**
 * Reads every sheet of an XLSX workbook as {@link readXlsx} reads one.
 *
 * @param takerOf What takes the records of the sheet of that name.
 * @returns `null`, or why reading stopped.
 */
export async function readXlsxSheets(
  path: string,
  compressed: boolean,
  takerOf: (name: string) => RecordTaker,
): Promise<FileFault | null> {
  return await untilFault(async () => {
    const workbook = await openWorkbook(path);
    let sheets;
    try {
      sheets = await readWorkbook(workbook, { trim: false });
    } catch {
      throw damaged();
    }
    for (const { sheet, data } of sheets) give(data, compressed, takerOf(sheet));
  });
}

/**
 * {@link mergedDownwards} of a sheet of a workbook. @throws {FaultError} if it cannot be opened.
 */
export async function xlsxMerges(path: string, sheet?: string): Promise<Map<number, number>> {
  return mergedDownwards(await openWorkbook(path), sheet);
}

async function untilFault(read: () => Promise<void>): Promise<FileFault | null> {
  try {
    await read();
    return null;
  } catch (error) {
    if (error instanceof FaultError) return error.fault;
    throw error;
  }
}

async function openWorkbook(
  path: string,
  progress?: RecordTaker["progress"],
): Promise<ArrayBuffer> {
  const file = await allBytes(path, largestFile);
  progress?.(file.length, file.length);
  return safeWorkbook(file);
}

function give(rows: readonly unknown[][], compressed: boolean, taker: RecordTaker): void {
  taker.begin({ kind: "xlsx", compressed, encoding: null, delimiter: null, decimal: "." });
  rows.forEach((row, i) => {
    const record = row.map(textOf);
    if (record.some((text) => text !== "")) taker.take(record, i + 1);
  });
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
    throw damaged();
  }
}

function damaged(): FaultError {
  return wholeFile(
    "the workbook is damaged, or not one that can be read",
    "save it again as XLSX, or save the sheet as CSV",
  );
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
