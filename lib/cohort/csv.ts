import { CsvError, parse } from "csv-parse";

/** Why a file could not be read to its end, without a word of its content. */
export interface CsvFault {
  /** The line at which reading stopped, the header being line 1; `null` for the whole file. */
  line: number | null;
  message: string;
  remedy: string;
}

const longestRecord = 1_000_000;

/**
 * Reads a comma-separated file in UTF-8, with or without byte-order mark, record by record.
 *
 * Streams: memory does not grow with the file. Empty lines are skipped. Cost O(file).
 *
 * @param path The file.
 * @param take Called with each record and the line on which it ends; the array is not reused.
 * @returns `null`, or why reading stopped.
 */
export async function readCsv(
  path: string,
  take: (record: string[], line: number) => void,
): Promise<CsvFault | null> {
  let file: Deno.FsFile;
  try {
    file = await Deno.open(path);
  } catch (error) {
    return {
      line: null,
      message: error instanceof Deno.errors.NotFound ? "no such file" : "it could not be opened",
      remedy: "check the path in the study file, and that the file may be read",
    };
  }
  const decoder = new TextDecoder("utf-8", { fatal: true });
  let line = 0;
  const parser = parse({
    bom: true,
    relax_column_count: true,
    skip_empty_lines: true,
    max_record_size: longestRecord,
    on_record: (record: string[], info) => {
      line = info.lines;
      take(record, line);
      return null;
    },
  });
  // resolves to what made the parser stop, or to null at the end of the file
  const stopped = new Promise<Error | null>((resolve) => {
    parser.on("error", resolve);
    parser.on("end", () => resolve(null));
  });
  parser.resume();
  for await (const chunk of file.readable) {
    if (!decodes(decoder, chunk)) return notText(parser);
    if (parser.write(chunk)) continue;
    // a parser that failed never drains
    await Promise.race([stopped, new Promise((drained) => parser.once("drain", drained))]);
    if (parser.destroyed) break;
  }
  if (!parser.destroyed && !decodes(decoder)) return notText(parser);
  parser.end();
  const error = await stopped;
  if (error === null) return null;
  if (error instanceof CsvError) return faultOf(error, line);
  throw error;
}

function decodes(decoder: TextDecoder, chunk?: Uint8Array): boolean {
  try {
    decoder.decode(chunk, { stream: chunk !== undefined });
    return true;
  } catch {
    return false;
  }
}

function notText(parser: { destroy(): unknown }): CsvFault {
  parser.destroy();
  return { line: null, message: "not UTF-8 text", remedy: "save the file as CSV in UTF-8" };
}

function faultOf({ code }: CsvError, line: number): CsvFault {
  const message = code === "CSV_QUOTE_NOT_CLOSED" || code === "CSV_MAX_RECORD_SIZE"
    ? "a quotation mark is opened and never closed"
    : code === "INVALID_OPENING_QUOTE" || code === "CSV_INVALID_CLOSING_QUOTE"
    ? "a quotation mark stands in the middle of a value"
    : "not a comma-separated file";
  return { line: line + 1, message, remedy: "put values in quotation marks whole, or not at all" };
}
