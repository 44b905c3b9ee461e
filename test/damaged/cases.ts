import { gzipSync, zipSync } from "fflate";
import { csvOf, patientsOf, replaced, type Row } from "../cohort/small-cohort.ts";
import { sheetXml, workbook, type WorkbookCell } from "./workbook.ts";

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

const encoder = new TextEncoder();
const sound = csvOf(patientsOf([{}, {}, { ...replaced }, {}]));
const soundVisits = "id,day,mr,lvef\nP0001,40,0,55\nP0001,400,1,57\nP0003,30,0,60\n";
const files: DamagedFile[] = [];

function add(
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
function withRow(row: Row): string {
  return csvOf(patientsOf([{}, row, { ...replaced }, {}]));
}

function utf16(text: string, big: boolean): Uint8Array {
  const bytes = new Uint8Array(2 * text.length);
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < text.length; i++) view.setUint16(2 * i, text.charCodeAt(i), !big);
  return bytes;
}

const cut = (bytes: Uint8Array, length: number) => bytes.slice(0, length);
const table = sound.trim().split("\n").map((line) => line.split(","));
const cells: WorkbookCell[][] = table.map((row, i) =>
  row.map((text) => i > 0 && /^\d+(\.\d+)?$/.test(text) ? Number(text) : text)
);
const changed = (row: number, name: string, cell: WorkbookCell): WorkbookCell[][] =>
  cells.map((cellsOfRow, i) =>
    cellsOfRow.map((old, j) => i === row && table[0]?.[j] === name ? cell : old)
  );

const asCsv = "save the table as CSV in UTF-8, or as XLSX";
const quotes = "put values in quotation marks whole, or not at all";
const number = "correct it, with a point for decimals, or leave it blank where it is missing";
const impossible = "correct it, or leave it blank where it is missing";
const code = "write one of the codes exactly, or leave it blank where it is missing";
const rename =
  "remove it, give it a dictionary name in the study file's mapping, or declare it among the study file's columns";
const lacking = "add it, or map the column that holds it; its values may be blank unless they " +
  "identify, group or time a patient";
const dates = "replace dates by days from the operation; keep the year of operation only";
const words = "remove free text, names and addresses before the file comes here";
const again = "save it again as XLSX, or save the sheet as CSV";

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

// ---- delimited text that breaks off --------------------------------------------------------------
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

// ---- compressed files -----------------------------------------------------------------------------
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

// ---- cells of a type that the column does not have ------------------------------------------------
add("letter-in-number.csv", withRow({ lvef: "5O" }), [
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("hexadecimal.csv", withRow({ lvef: "0x32" }), [
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("infinite.csv", withRow({ lvef: "Infinity" }), [
  // a word that stands once, with a capital letter
  "structural: @, lvef: line 3: 1 cell that could be names; remove names; give patients random " +
  "pseudonyms and surgeons codes such as S1",
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("decimal-comma.csv", withRow({ lvef: "55,5", age: 61.5 }), [
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("thousand.csv", withRow({ fu_days: "1,826" }), [
  `error: @, fu_days: 1 row, line 3: is not a number; ${number}`,
]);
add("percent-sign.csv", withRow({ lvef: "55%" }), [
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("greater-than.csv", withRow({ lvedd: ">60" }), [
  `error: @, lvedd: 1 row, line 3: is not a number; ${number}`,
]);
add("missing-word.csv", withRow({ lvef: "NK" }), [
  `error: @, lvef: 1 row, line 3: is not a number; ${number}`,
]);
add("wrong-code.csv", withRow({ sex: "f" }), [
  `error: @, sex: 1 row, line 3: is not one of F, M, unknown; ${code}`,
]);
add("yes-for-one.csv", withRow({ diabetes: "yes" }), [
  `error: @, diabetes: 1 row, line 3: is not a number; ${number}`,
]);
add("half-a-grade.csv", withRow({ mr_pre: 2.5 }), [
  `error: @, mr_pre: 1 row, line 3: not a whole number; ${impossible}`,
]);
add("date-in-column.csv", withRow({ fu_days: "2014-03-02" }), [
  `structural: @, fu_days: 1 row, line 3: looks like a date; ${dates}`,
]);
add("remark-in-code.csv", withRow({ approach: "converted after bleeding" }), [
  `structural: @, approach: 1 row, line 3: looks like free text; ${words}`,
]);

// ---- values that cannot be ------------------------------------------------------------------------
const hard = (column: string, range: string) =>
  `error: @, ${column}: 1 row, line 3: not between ${range}; ${impossible}`;
add("negative-days.csv", withRow({ fu_days: -3 }), [
  hard("fu_days", "0 and 15000 days from operation"),
]);
add("class-five.csv", withRow({ nyha: 5 }), [hard("nyha", "1 and 4")]);
add("minus-nine.csv", withRow({ lvef: -9 }), [hard("lvef", "5 and 85 %")]);
add("child.csv", withRow({ age: 7 }), [hard("age", "18 and 90 years")]);
add("old-age.csv", withRow({ age: 94 }), [
  "structural: @, age: 1 row, line 3: above 90, which can identify a patient; write 90 for 90 and " +
  "over",
]);
add("blank-outcome.csv", withRow({ dead: "" }), [
  "error: @, dead: 1 row, line 3: is blank; each row must have a value here",
]);
add("blank-pseudonym.csv", withRow({ id: "" }), [
  "structural: @, id: 1 row, line 3: is blank; each row must have a value here",
]);
add(
  "centimetres.csv",
  csvOf(patientsOf([{ lvedd: 5.5 }, { lvedd: 6 }].map((row) => ({
    lvesd: 3.5,
    ...row,
  })))),
  [
    "structural: @, lvedd: its median of 6 says centimetres; give it in millimetres; nothing is " +
    "converted by guess",
    "structural: @, lvesd: its median of 3.5 says centimetres; give it in millimetres; nothing is " +
    "converted by guess",
  ],
);
add("fractions.csv", csvOf(patientsOf([{ lvef: 0.55 }, { lvef: 0.6 }])), [
  "structural: @, lvef: its median of 0.6 says fractions; give it in percent; nothing is converted " +
  "by guess",
]);

// ---- cells that contradict each other -------------------------------------------------------------
add("systole-over-diastole.csv", withRow({ lvesd: 60 }), [
  "error: @, lvesd: 1 row, line 3: is not below the end-diastolic diameter; correct lvesd or lvedd",
]);
add("ring-on-replacement.csv", withRow({ ...replaced, ring_type: "rigid", ring_mm: 30 }), [
  "error: @, ring_mm: 1 row, line 3: is filled although final is not repair; correct final, or " +
  "leave it blank",
  "error: @, ring_type: 1 row, line 3: is filled although final is not repair; correct final, or " +
  "leave it blank",
]);
add("stay-over-follow-up.csv", withRow({ los: 40, fu_days: 30 }), [
  "error: @, los: 1 row, line 3: is longer than the follow-up; correct los or fu_days",
]);
add("conversion-contradicts.csv", withRow({ convert_reason: "exposure" }), [
  "error: @, convert_reason: 1 row, line 3: is filled although intended and final procedure are " +
  "the same; correct intended or final, or leave it blank",
]);
add("conversion-unexplained.csv", withRow({ ...replaced, intended: "repair" }), [
  "warning: @, convert_reason: 1 row, line 3: is blank although intended and final procedure " +
  "differ; add the reason; the patient is counted as converted, reason not recorded",
]);
add("cause-while-alive.csv", withRow({ death_cause: "cardiac" }), [
  "error: @, death_cause: 1 row, line 3: is filled although dead is not 1; correct dead, or leave " +
  "it blank",
]);
add("late-reintervention.csv", withRow({ reint: 1, reint_day: 2000, reint_reason: "MR" }), [
  "error: @, reint_day: 1 row, line 3: is after the end of follow-up; correct reint_day or fu_days",
]);
add("not-followed.csv", withRow({ fu_days: 0 }), [
  "error: @, fu_days: 1 row, line 3: is 0 although the patient did not die in theatre; correct " +
  "fu_days or dead; who is lost on leaving was followed to the last day seen",
]);
add("after-closing.csv", withRow({ op_year: 2025 }), [
  "error: @, op_year: 1 row, line 3: is after 2024.5, when the study closed; correct it, or " +
  "timeZero.closingYear in the study file",
  "warning: @, case_seq: falls between 2012 and 2025; check case_seq and op_year: learning curves " +
  "need the order of operations",
]);
add(
  "patient-twice.csv",
  csvOf(patientsOf([{}, {}, { ...replaced, id: "P0001" }, { id: "P0003" }])),
  [
    "structural: @, id: 1 row, line 4: has the pseudonym of line 2; keep one row a patient; which one " +
    "is for somebody who knows the patient",
  ],
);
add("operation-twice.csv", withRow({ case_seq: 1 }), [
  "error: @, case_seq: 2 rows, first on line 2: has the place in the series of line 3; check for an " +
  "operation entered twice; both rows are set aside",
]);

// ---- visits ---------------------------------------------------------------------------------------
add("visits-of-nobody.csv", soundVisits + "P0009,30,0,50\n", [
  "error: @, id: 1 row, line 5: is the pseudonym of nobody in the patients table; add the " +
  "patient, or remove the visit",
]);
add("visits-after-death.csv", soundVisits + "P0002,1900,0,50\n", [
  "error: @, day: 1 row, line 5: is after the end of the patient's follow-up; correct day or fu_days",
]);
add("visits-twice.csv", soundVisits + "P0001,400,2,50\n", [
  "error: @, day: 1 row, line 5: is the day of another visit of the patient; keep one of them",
]);
add("visits-without-grade.csv", soundVisits + "P0002,400,,50\n", [
  "error: @, mr: 1 row, line 5: is blank; each row must have a value here",
]);
add("visits-before.csv", soundVisits + "P0002,-5,0,50\n", [
  `error: @, day: 1 row, line 5: not between 0 and 15000 days from operation; ${impossible}`,
]);
add("visits-impossible.csv", soundVisits + "P0002,500,0,95\n", [
  `error: @, lvef: 1 row, line 5: not between 5 and 85 %; ${impossible}`,
]);

// ---- mapped files that do not keep to their mapping ------------------------------------------------
const seen = withRow({}).replace("fu_days", "last_seen").replaceAll(",1826,", ",2017-01-05,")
  .replace("\n", ",operated\n").replaceAll(",0,,\n", ",0,,,2012-01-05\n");
const interval = (order: string) => ({
  mapping: {
    derived: {
      patients: [
        { rule: "days-between", column: "fu_days", from: "operated", to: "last_seen", order },
      ],
      visits: [],
    },
  },
});
add("date-unreadable.csv", seen.replace("2017-01-05", "2017-02-31"), [
  "error: @, fu_days: 1 row, line 2: cannot be worked out: a date is not one written year-first; " +
  "correct the values it is worked out from, or the order in the study file's mapping",
], interval("year-first"));
add("date-before.csv", seen.replace("2017-01-05", "2010-01-05"), [
  "error: @, fu_days: 1 row, line 2: not between 0 and 15000 days from operation; " + impossible,
], interval("year-first"));
add("code-not-mapped.csv", withRow({ sex: "X" }).replaceAll(",F,", ",w,"), [
  `error: @, sex: 1 row, line 3: is not one of F, M, unknown; ${code}`,
], { mapping: { patients: { sex: { column: "sex", codes: { W: "F" } } } } });

/** All damaged files. */
export const damagedFiles: readonly DamagedFile[] = files;

/** The sound files beside them. */
export const soundFiles = {
  "sound-patients.csv": encoder.encode(sound),
  "sound-visits.csv": encoder.encode(soundVisits),
};
