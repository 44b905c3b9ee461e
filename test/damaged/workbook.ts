import { strToU8, zipSync } from "fflate";

const head = '<?xml version="1.0" encoding="UTF-8"?>';
const main = "http://schemas.openxmlformats.org/spreadsheetml/2006/main";
const office = "http://schemas.openxmlformats.org/officeDocument/2006/relationships";

/** One cell: text, a number, a date as a serial number, an error value, or a formula's XML. */
export type WorkbookCell = string | number | { date: number } | { error: string } | { xml: string };

/** The XML of a sheet with these rows. */
export function sheetXml(rows: WorkbookCell[][]): string {
  const body = rows.map((row, i) => {
    const cells = row.map((cell, j) => cellXml(cell, `${columnName(j)}${i + 1}`)).join("");
    return `<row r="${i + 1}">${cells}</row>`;
  }).join("");
  return `${head}<worksheet xmlns="${main}"><sheetData>${body}</sheetData></worksheet>`;
}

/** A workbook of one sheet, or with parts of one's own in place of its. */
export function workbook(
  rows: WorkbookCell[][],
  parts: Record<string, string | Uint8Array> = {},
): Uint8Array<ArrayBuffer> {
  const all: Record<string, string | Uint8Array> = {
    "xl/workbook.xml": `${head}<workbook xmlns="${main}" xmlns:r="${office}"><sheets>` +
      `<sheet name="Sheet1" sheetId="1" r:id="rId1"/></sheets></workbook>`,
    "xl/_rels/workbook.xml.rels":
      `${head}<Relationships xmlns="http://schemas.openxmlformats.org/` +
      `package/2006/relationships"><Relationship Id="rId1" Type="${office}/worksheet" ` +
      `Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="${office}/styles" ` +
      `Target="styles.xml"/></Relationships>`,
    "xl/styles.xml": `${head}<styleSheet xmlns="${main}"><cellXfs count="2"><xf numFmtId="0"/>` +
      `<xf numFmtId="14" applyNumberFormat="1"/></cellXfs></styleSheet>`,
    "xl/worksheets/sheet1.xml": sheetXml(rows),
    ...parts,
  };
  const entries = Object.entries(all).map(([name, content]): [string, Uint8Array] => [
    name,
    typeof content === "string" ? strToU8(content) : content,
  ]);
  // a fixed time: the same rows give the same bytes
  return new Uint8Array(zipSync(Object.fromEntries(entries), { level: 9, mtime: "2024-01-01" }));
}

function cellXml(cell: WorkbookCell, at: string): string {
  if (typeof cell === "number") return `<c r="${at}"><v>${cell}</v></c>`;
  if (typeof cell === "string") {
    const text = cell.replace(/&/g, "&amp;").replace(/</g, "&lt;");
    return cell === "" ? "" : `<c r="${at}" t="inlineStr"><is><t>${text}</t></is></c>`;
  }
  if ("date" in cell) return `<c r="${at}" s="1"><v>${cell.date}</v></c>`;
  if ("error" in cell) return `<c r="${at}" t="e"><v>${cell.error}</v></c>`;
  return `<c r="${at}">${cell.xml}</c>`;
}

function columnName(index: number): string {
  const letter = String.fromCharCode(65 + index % 26);
  return index < 26 ? letter : columnName(Math.floor(index / 26) - 1) + letter;
}
