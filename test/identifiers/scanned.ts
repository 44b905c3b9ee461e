import { dictionaryColumn } from "../../lib/cohort/dictionary/dictionary.ts";
import { type ExpectedColumn, identifierScan } from "../../lib/cohort/identifiers/scan.ts";
import { plantedFiles } from "./plants.ts";

export const expectedOf = (header: string[], table: "patients" | "visits" = "patients") =>
  header.map((name): ExpectedColumn | undefined => {
    const column = dictionaryColumn(table, name);
    return column && { column };
  });

export function scan(header: string[], rows: string[][], expected = expectedOf(header)) {
  const scanner = identifierScan(header, expected);
  rows.forEach((row, i) => scanner.take(row, i + 2));
  return scanner.finish();
}

export const files = plantedFiles(200, 20240611);
