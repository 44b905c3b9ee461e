import { CsvError, parse } from "csv-parse";
import { FaultError, type FileFault, type FileFormat } from "./file-format.ts";
import { notText } from "./encoding.ts";
import { openBytes } from "./open-bytes.ts";

const longestRecord = 1_000_000;

/** What a reader of records needs to be told, and whom it tells. */
export interface RecordTaker {
  /** Called once, before any record. */
  begin(format: FileFormat): void;
  /** Called with each record and the line on which it ends; the array is not reused. */
  take(record: string[], line: number): void;
  /** Called now and then with the number of bytes read and the file's size. */
  progress?(bytes: number, total: number): void;
}

/**
 * Reads a file of delimited values, record by record.
 *
 * Streams: memory does not grow with the file. Lines without a value are skipped. Cost O(file).
 *
 * @param path The file.
 * @param format How it is written.
 * @param taker Told of each record.
 * @param skip Lines to pass over before the header.
 * @returns `null`, or why reading stopped.
 */
export async function readCsv(
  path: string,
  format: FileFormat,
  taker: RecordTaker,
  skip = 0,
): Promise<FileFault | null> {
  const source = await openBytes(path);
  const utf8 = format.encoding === "utf-8" || format.encoding === null;
  const decoder = new TextDecoder(format.encoding ?? "utf-8", { fatal: true });
  let line = skip;
  const parser = parse({
    bom: true,
    delimiter: format.delimiter ?? ",",
    // any of them, also side by side: files are put together from others
    record_delimiter: ["\r\n", "\n", "\r"],
    from_line: skip + 1,
    relax_column_count: true,
    skip_empty_lines: true,
    skip_records_with_empty_values: true,
    max_record_size: longestRecord,
    on_record: (record: string[], info) => {
      line = info.lines;
      taker.take(record, line);
      return null;
    },
  });
  // resolves to what made the parser stop, or to null at the end of the file
  const stopped = new Promise<Error | null>((resolve) => {
    parser.on("error", resolve);
    parser.on("end", () => resolve(null));
  });
  parser.resume();
  try {
    for await (const chunk of source.bytes) {
      // UTF-8 has been found to be valid, and is decoded by the parser itself
      const more = parser.write(utf8 ? chunk : decoded(decoder, chunk));
      taker.progress?.(source.position(), source.size);
      if (more) continue;
      // a parser that failed never drains
      await Promise.race([stopped, new Promise((drained) => parser.once("drain", drained))]);
      if (parser.destroyed) break;
    }
    if (!parser.destroyed) parser.end(utf8 ? undefined : decoded(decoder));
  } catch (error) {
    parser.destroy();
    if (error instanceof FaultError) return error.fault;
    throw error;
  }
  const error = await stopped;
  if (error === null) return null;
  if (error instanceof CsvError) return faultOf(error, line);
  throw error;
}

function decoded(decoder: TextDecoder, chunk?: Uint8Array): string {
  try {
    return decoder.decode(chunk, { stream: chunk !== undefined });
  } catch {
    throw notText();
  }
}

function faultOf({ code }: CsvError, line: number): FileFault {
  const message = code === "CSV_QUOTE_NOT_CLOSED"
    ? "a quotation mark is opened and never closed"
    : code === "CSV_MAX_RECORD_SIZE"
    ? `a row is longer than ${longestRecord} characters, or a quotation mark is never closed`
    : code === "INVALID_OPENING_QUOTE" || code === "CSV_INVALID_CLOSING_QUOTE"
    ? "a quotation mark stands in the middle of a value"
    : "not a file of delimited values";
  return { line: line + 1, message, remedy: "put values in quotation marks whole, or not at all" };
}
