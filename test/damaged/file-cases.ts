import { gzipSync, zipSync } from "fflate";
import { sheetXml, workbook } from "./workbook.ts";
import {
  add,
  again,
  asCsv,
  cells,
  changed,
  cut,
  dates,
  encoder,
  lacking,
  number,
  quotes,
  rename,
  sound,
  table,
  utf16,
} from "./sound-and-damaged.ts";

// ---- files that are no table -------------------------------------------------------------------
add("empty.csv", "", [
  "structural: @: the file is empty; it must start with a line of column names",
]);
add("blank-lines.csv", "\n\n\r\n", [
  "structural: @: the file is empty; it must start with a line of column names",
]);
add("mark-only.csv", "\uFEFF", [
  "structural: @: the file is empty; it must start with a line of column names",
]);
const notText = [
  `structural: @: not text in UTF-8, UTF-16 or Windows-1252, nor an XLSX workbook; ${asCsv}`,
];
add("zeros.csv", new Uint8Array(512), notText);
add("zero-inside.csv", sound.replace("sternotomy", "sterno\0tomy"), notText);
add("undefined-byte.csv", Uint8Array.of(...encoder.encode(sound), 0x81, 10), notText);
add("odd-utf16.csv", Uint8Array.of(0xff, 0xfe, ...utf16(sound, false), 0x41), notText);
add("pdf.csv", "%PDF-1.7\n1 0 obj\n", [
  "structural: @: a PDF, not a table; export the table as CSV or XLSX",
]);
add(
  "old-workbook.csv",
  Uint8Array.of(0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1, 0, 0),
  [
    "structural: @: an old .xls workbook, or one with a password; save it as XLSX without a " +
    "password, or as CSV",
  ],
);
const noHeader = (several: boolean) => [
  "structural: @: line 1: the first line holds no column name of the dictionary; the first line " +
  `must hold the column names${
    several
      ? "; map those of another centre in the study file"
      : ", separated by commas, semicolons or tabs"
  }`,
];
add("json.csv", '{"id": "P0001"}\n', [
  `structural: @: line 1: a quotation mark stands in the middle of a value; ${quotes}`,
]);
add("page.csv", "<!doctype html><html><body>no table</body></html>\n", noHeader(false));
add("no-header.csv", sound.slice(sound.indexOf("\n") + 1), noHeader(true));
add("pipes.csv", sound.replaceAll(",", "|"), [
  ...noHeader(false),
  "structural: @, column 1: line 2: 4 cells that could be free text; remove the column, or let " +
  "`deno task deidentify` write a clean copy",
]);

// ---- delimited text that breaks off
// --------------------------------------------------------------
add("quote-open.csv", sound.replace(",rigid,", ',"rigid,'), [
  `structural: @: line 2: a quotation mark is opened and never closed; ${quotes}`,
]);
add("quote-inside.csv", sound.replace(",rigid,", ',ri"gid,'), [
  `structural: @: line 2: a quotation mark stands in the middle of a value; ${quotes}`,
]);
add("quote-after.csv", sound.replace(",rigid,", ',"rigid"x,'), [
  `structural: @: line 2: a quotation mark stands in the middle of a value; ${quotes}`,
]);
const width = table[0]?.length ?? 0;
const long = (rows: string, count: number) =>
  `structural: @: ${rows}: has ${count} values where the header has ${width}; put values that ` +
  "contain a comma in quotation marks";
add("comma-inside.csv", sound.replace(",rigid,", ",ri,gid,"), [
  long("1 row, line 2", width + 1),
]);
add("cut-short.csv", sound.slice(0, sound.lastIndexOf(",sternotomy")), [
  long("1 row, line 5", width - 18),
]);
add("short-rows.csv", sound.replaceAll(",0,,0,,\n", ",0\n"), [
  long("4 rows, first on line 2", width - 4),
]);

// ---- compressed files
// -----------------------------------------------------------------------------
const packed = gzipSync(encoder.encode(sound), { mtime: "2024-01-01" });
const gzipCut = "the compressed file is damaged or cut short; compress the table again";
add("cut.csv.gz", cut(packed, packed.length - 40), [`structural: @: ${gzipCut}`]);
add("header-only.csv.gz", cut(packed, 10), [`structural: @: ${gzipCut}`]);
add("wrong-sum.csv.gz", packed.map((byte, i) => i === packed.length - 6 ? byte ^ 255 : byte), [
  `structural: @: ${gzipCut}`,
]);
add("twice.csv.gz", gzipSync(packed, { mtime: "2024-01-01" }), [
  "structural: @: compressed twice; decompress it once",
]);
add("bomb.csv.gz", gzipSync(new Uint8Array(70 * 2 ** 20).fill(65), { level: 9, mtime: 0 }), [
  "structural: @: decompresses to more than 250 times its size; a table does not: decompress it " +
  "elsewhere and look at what is in it",
]);

// ---- workbooks ----------------------------------------------------------------------------------
const book = workbook(cells);
const damagedBook = "the workbook is damaged or cut short; save it again, or save it as CSV";
const noBook = "an archive, but not an XLSX workbook; save the table as XLSX or as CSV";
const tooMuch =
  "the workbook unpacks to more than a table of a cohort has; save the sheet as CSV; " +
  "if it is small, look at what else is in the workbook";
add("cut.xlsx", cut(book, 700), [`structural: @: ${damagedBook}`]);
add("stump.xlsx", cut(book, 30), [`structural: @: ${damagedBook}`]);
add("archive.xlsx", zipSync({ "letter.xml": encoder.encode("<p/>") }, { mtime: "2024-01-01" }), [
  `structural: @: ${noBook}`,
]);
add("no-sheet.xlsx", workbook(cells, { "xl/workbook.xml": "<workbook/>" }), [
  `structural: @: the workbook is damaged, or not one that can be read; ${again}`,
]);
add("no-xml.xlsx", workbook(cells, { "xl/worksheets/sheet1.xml": "no XML" }), [
  `structural: @: the workbook is damaged, or not one that can be read; ${again}`,
]);
add(
  "bomb.xlsx",
  workbook(cells, { "xl/media/zeros.xml": new Uint8Array(40 * 2 ** 20) }),
  [`structural: @: ${tooMuch}`],
);
add(
  "far-cell.xlsx",
  workbook(cells, {
    "xl/worksheets/sheet1.xml": sheetXml(cells).replace(
      "</sheetData>",
      '<row r="1048576"><c r="XFD1048576"><v>1</v></c></row></sheetData>',
    ),
  }),
  [`structural: @: ${tooMuch}`],
);
add("formula.xlsx", workbook(changed(2, "lvef", { xml: "<f>50+5</f>" })), [
  "structural: @: the workbook has formulas whose values are not stored; open it in a spreadsheet " +
  "program and save it again, or save the sheet as CSV",
]);
add("wrong-sheet.xlsx", book, [
  "structural: @: the workbook has no sheet of the name that the study file gives; correct " +
  "files.format in the study file",
], { format: { cohort: { sheet: "Patients" } } });
add("error-value.xlsx", workbook(changed(2, "lvef", { error: "#DIV/0!" })), [
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("date-cell.xlsx", workbook(changed(2, "fu_days", { date: 41_700 })), [
  `structural: @, fu_days: 1 row, line 3: looks like a date; ${dates}`,
]);

// ---- headers ------------------------------------------------------------------------------------
add("unknown-column.csv", sound.replace("lvef", "ef"), [
  `structural: @: line 1: column "ef" is not in the dictionary; ${rename}`,
  `structural: @, lvef: line 1: the column is missing (ejection fraction); ${lacking}`,
]);
add("column-twice.csv", sound.replace("lvesd", "lvedd"), [
  "structural: @, lvedd: line 1: the column is there twice; keep one of them",
  "structural: @, lvesd: line 1: the column is missing (left ventricular end-systolic diameter); " +
  lacking,
]);
add("nameless-column.csv", sound.replaceAll("\n", ",\n"), [
  `structural: @: line 1: column number ${width + 1} is not in the dictionary; ${rename}`,
]);
add("conditional-column.csv", sound.replace("prosthesis", "tr_pre").replace("bioprosthesis", "1"), [
  "structural: @, prosthesis: the column is missing, and 1 patients have final replacement; add " +
  "it, or map the column that holds it; its values may be blank",
]);
add("mapped-to-nothing.csv", sound, [
  'structural: @, lvef: line 1: the study file maps "EF" to it, but the file has no such column; ' +
  "correct the mapping",
], { mapping: { patients: { EF: "lvef" } } });
add("rule-without-source.csv", sound.replace("fu_days,", "followed,"), [
  'structural: @: line 1: column "followed" is not in the dictionary; ' + rename,
  'structural: @, fu_days: line 1: the study file works it out from "seen", but the file has no ' +
  "such column; correct the mapping",
], {
  mapping: {
    derived: {
      patients: [{ rule: "first-of", column: "fu_days", sources: ["seen", "op_year"] }],
      visits: [],
    },
  },
});
