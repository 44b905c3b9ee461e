import { strToU8, zipSync } from "fflate";

/** One sheet: its name and its rows, headings first. */
export interface Sheet {
  name: string;
  rows: readonly (readonly (string | number)[])[];
}

/**
 * Writes a workbook (Office Open XML, ISO/IEC 29500) of plain cells: text and numbers, no formats.
 * The same sheets give the same bytes.
 */
export function workbook(sheets: readonly Sheet[]): Uint8Array<ArrayBuffer> {
  const strings = new Map<string, number>();
  const parts: Record<string, string> = {
    "[Content_Types].xml": element("Types", types, [
      empty("Default", { Extension: "rels", ContentType: `${package_}.relationships+xml` }),
      empty("Default", { Extension: "xml", ContentType: "application/xml" }),
      override("/xl/workbook.xml", "sheet.main"),
      override("/xl/sharedStrings.xml", "sharedStrings"),
      ...sheets.map((_, i) => override(`/xl/worksheets/sheet${i + 1}.xml`, "worksheet")),
    ]),
    "_rels/.rels": relations([["officeDocument", "xl/workbook.xml"]]),
    "xl/workbook.xml": element("workbook", main, [
      element(
        "sheets",
        "",
        sheets.map(({ name }, i) =>
          empty("sheet", { name, sheetId: String(i + 1), "r:id": `rId${i + 1}` })
        ),
      ),
    ]),
    "xl/_rels/workbook.xml.rels": relations([
      ...sheets.map((_, i): [string, string] => ["worksheet", `worksheets/sheet${i + 1}.xml`]),
      ["sharedStrings", "sharedStrings.xml"],
    ]),
  };
  sheets.forEach(({ rows }, i) => {
    parts[`xl/worksheets/sheet${i + 1}.xml`] = sheetXml(rows, strings);
  });
  parts["xl/sharedStrings.xml"] = element(
    "sst",
    main,
    [...strings.keys()].map((text) => `<si><t xml:space="preserve">${escaped(text)}</t></si>`),
  );
  // a fixed time: the archive must not tell when it was made
  return zipSync(
    Object.fromEntries(Object.entries(parts).map(([name, text]) => [name, strToU8(text)])),
    { level: 9, mtime: "1980-01-01T12:00:00" },
  ) as Uint8Array<ArrayBuffer>;
}

const schemas = "http://schemas.openxmlformats.org";
const package_ = "application/vnd.openxmlformats-package";
const spreadsheet = "application/vnd.openxmlformats-officedocument.spreadsheetml";
const types = `xmlns="${schemas}/package/2006/content-types"`;
const main = `xmlns="${schemas}/spreadsheetml/2006/main" ` +
  `xmlns:r="${schemas}/officeDocument/2006/relationships"`;

function sheetXml(rows: Sheet["rows"], strings: Map<string, number>): string {
  const lines = rows.map((row, r) => {
    const cells = row.map((value, c) => {
      if (value === "") return "";
      const at = `${columnLetters(c)}${r + 1}`;
      if (typeof value === "number") return `<c r="${at}"><v>${value}</v></c>`;
      let place = strings.get(value);
      if (place === undefined) strings.set(value, place = strings.size);
      return `<c r="${at}" t="s"><v>${place}</v></c>`;
    });
    return `<row r="${r + 1}">${cells.join("")}</row>`;
  });
  return element("worksheet", main, [element("sheetData", "", lines)]);
}

function relations(targets: [kind: string, target: string][]): string {
  return element(
    "Relationships",
    `xmlns="${schemas}/package/2006/relationships"`,
    targets.map(
      ([kind, target], i) =>
        empty("Relationship", {
          Id: `rId${i + 1}`,
          Type: `${schemas}/officeDocument/2006/relationships/${kind}`,
          Target: target,
        }),
    ),
  );
}

function override(part: string, kind: string): string {
  return empty("Override", { PartName: part, ContentType: `${spreadsheet}.${kind}+xml` });
}

function element(name: string, attributes: string, content: readonly string[]): string {
  const head = name === "sheets" || name === "sheetData" ? "" : declaration;
  return `${head}<${name}${attributes && ` ${attributes}`}>${content.join("")}</${name}>`;
}

const declaration = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n';

function empty(name: string, attributes: Record<string, string>): string {
  const text = Object.entries(attributes).map(([key, value]) => ` ${key}="${escaped(value)}"`);
  return `<${name}${text.join("")}/>`;
}

function columnLetters(place: number): string {
  const letter = String.fromCharCode(65 + place % 26);
  return place < 26 ? letter : columnLetters(Math.floor(place / 26) - 1) + letter;
}

function escaped(text: string): string {
  return text.replace(/&/g, "&amp;").replace(/</g, "&lt;").replace(/>/g, "&gt;").replace(
    /"/g,
    "&quot;",
  );
}
