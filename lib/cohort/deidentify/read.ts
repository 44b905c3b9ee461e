import { basename } from "node:path";
import { ProblemsError } from "../../study/problems/mod.ts";
import { faultInWords, type ReadingProgress, readRecords } from "../file/mod.ts";

/** A file to make a clean copy of. */
export interface RawFile {
  /** Where it lies. */
  path: string;
  /** Which of the two tables it has. */
  name: "patients" | "visits";
  /** Of a workbook, which sheet. */
  sheet?: string;
  /** Told now and then how far the reading has come. */
  progress?: (progress: ReadingProgress) => void;
}

/**
 * Goes through a file row by row; a number with a decimal comma comes with a point, which the copy
 * is written with, and letters come as they are commonly written. Nothing is kept.
 *
 * @param row Called with each row after the header.
 * @returns The headings.
 * @throws {ProblemsError} where the file cannot be read, or a row is wider than the header.
 */
export async function eachRow(
  { path, name, sheet, progress }: RawFile,
  row: (cells: string[], header: readonly string[]) => void,
): Promise<string[]> {
  let header: string[] = [];
  let commas = false;
  let wide = false;
  let rows = 0;
  const fault = await readRecords(path, {
    begin(format) {
      commas = format.decimal === ",";
    },
    take(record) {
      if (header.length === 0) {
        header = record.map((heading) => heading.normalize("NFKC").trim());
        return;
      }
      rows++;
      wide ||= record.length > header.length;
      const plain = record.map((cell) => beyondAscii.test(cell) ? cell.normalize("NFKC") : cell);
      row(commas ? plain.map(withPoint) : plain, header);
    },
    progress(bytes, total) {
      progress?.({ file: basename(path), rows, bytes, total });
    },
  }, { sheet });
  if (fault) throw refused(name, faultInWords(fault));
  if (header.length === 0) throw refused(name, "the file is empty");
  if (wide) {
    throw refused(name, "a row has more values than the header; put values in quotation marks");
  }
  return header;
}

// normalizing leaves all else as it is, and costs more than looking
const beyondAscii = /[^ -~]/;

/** Refuses a folder that has anything in it. @throws {ProblemsError} */
export async function checkEmpty(out: string): Promise<void> {
  try {
    for await (const _ of Deno.readDir(out)) {
      throw refused("out", "the folder is not empty; choose a new one");
    }
  } catch (error) {
    if (!(error instanceof Deno.errors.NotFound)) throw error;
  }
}

/** Why no clean copy is made. */
export function refused(where: string, what: string): ProblemsError {
  return new ProblemsError("de-identify", [{ where, what }]);
}

function withPoint(cell: string): string {
  return /^\s*[-+]?\d+,\d+\s*$/.test(cell) ? cell.replace(",", ".") : cell;
}
