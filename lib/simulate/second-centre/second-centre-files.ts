import { stringify } from "csv-stringify/sync";
import type { SecondCentre } from "./second-centre.ts";
import { workbook } from "./second-centre-workbook.ts";

const about = [
  ["About this workbook"],
  ["An invented cohort of an invented centre, written by a program. No patient is in it."],
  ["Sheet Operations: one row an operation. Lengths in cm, fractions of 1, follow-up in months."],
  ["-9, 999 and NK: not known. A point: does not apply."],
];

/** The second centre's two files, as bytes: a workbook with two sheets, and a semicolon CSV. */
export function secondCentreFiles(
  { patients, visits }: SecondCentre,
): { "operations.xlsx": Uint8Array<ArrayBuffer>; "echo.csv": Uint8Array<ArrayBuffer> } {
  const headings = Object.keys(patients[0] ?? {});
  const rows = patients.map((row) => headings.map((heading) => row[heading] ?? ""));
  const text = stringify(visits, {
    header: true,
    bom: true,
    delimiter: ";",
    record_delimiter: "windows",
  });
  return {
    "operations.xlsx": workbook([
      { name: "About", rows: about },
      { name: "Operations", rows: [headings, ...rows] },
    ]),
    "echo.csv": new TextEncoder().encode(text),
  };
}
