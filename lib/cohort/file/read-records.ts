import { readCsv, type RecordTaker } from "./csv.ts";
import { findEncoding, notText } from "./encoding.ts";
import {
  FaultError,
  type FileFault,
  type FileFormat,
  type FormatOptions,
  wholeFile,
} from "./file-format.ts";
import { firstBytes, openBytes } from "./open-bytes.ts";
import { findDecimal, findDelimiter, statedDelimiter } from "./sniff.ts";

const sample = 256 * 1024;

/**
 * Reads a table from a file, record by record, whatever it is written as: values separated by
 * commas, semicolons or tabs, in UTF-8, UTF-16 or Windows-1252, with decimal points or commas, or
 * an XLSX workbook; either of them compressed with gzip.
 *
 * What `options` state is taken as stated, the rest is found by looking. Cost: text is read twice,
 * once for its encoding.
 *
 * @returns `null`, or why reading stopped.
 */
export async function readRecords(
  path: string,
  taker: RecordTaker,
  options: FormatOptions = {},
): Promise<FileFault | null> {
  try {
    const head = await firstBytes(path, sample);
    const kind = signatureOf(head);
    const { compressed, bytes } = await openBytes(path);
    await bytes.cancel();
    if (kind === "xlsx") {
      // loaded where it is needed: most files are text
      const { readXlsx } = await import("./xlsx.ts");
      return await readXlsx(path, compressed, taker, options.sheet);
    }
    const open = async () => (await openBytes(path)).bytes;
    const encoding = !options.encoding || options.encoding === "utf-8"
      ? await findEncoding(open)
      : options.encoding;
    if (options.encoding && options.encoding !== encoding) throw notText();
    const text = new TextDecoder(encoding).decode(head, { stream: true });
    const delimiter = options.delimiter ?? findDelimiter(text);
    const decimal = options.decimal ?? findDecimal(text, delimiter);
    const format: FileFormat = { kind: "csv", compressed, encoding, delimiter, decimal };
    taker.begin(format);
    return await readCsv(path, format, taker, statedDelimiter(text) ? 1 : 0);
  } catch (error) {
    if (error instanceof FaultError) return error.fault;
    throw error;
  }
}

/**
 * Reads every sheet of a workbook, and any other file as {@link readRecords} does.
 *
 * @param takerOf What takes the records of a sheet, by its name, or of a file that has none.
 * @returns `null`, or why reading stopped.
 */
export async function readSheets(
  path: string,
  takerOf: (sheet: string | null) => RecordTaker,
): Promise<FileFault | null> {
  try {
    if (signatureOf(await firstBytes(path, sample)) !== "xlsx") {
      return await readRecords(path, takerOf(null));
    }
    const { compressed, bytes } = await openBytes(path);
    await bytes.cancel();
    const { readXlsxSheets } = await import("./xlsx.ts");
    return await readXlsxSheets(path, compressed, takerOf);
  } catch (error) {
    if (error instanceof FaultError) return error.fault;
    throw error;
  }
}

/** Columns of a workbook's sheet in which cells are merged downwards; of any other file none. */
export async function readMerges(path: string, sheet?: string): Promise<Map<number, number>> {
  try {
    if (signatureOf(await firstBytes(path, sample)) !== "xlsx") return new Map();
    const { xlsxMerges } = await import("./xlsx.ts");
    return await xlsxMerges(path, sheet);
  } catch (error) {
    if (error instanceof FaultError) return new Map();
    throw error;
  }
}

/** What the first bytes say a file is, where they say it. */
function signatureOf(head: Uint8Array): "xlsx" | null {
  const start = Array.from(head.subarray(0, 8), (byte) => byte.toString(16).padStart(2, "0"))
    .join("");
  if (start.startsWith("504b0304") || start.startsWith("504b0506")) return "xlsx";
  if (start === "d0cf11e0a1b11ae1") {
    throw wholeFile(
      "an old .xls workbook, or one with a password",
      "save it as XLSX without a password, or as CSV",
    );
  }
  if (start.startsWith("25504446")) {
    throw wholeFile("a PDF, not a table", "export the table as CSV or XLSX");
  }
  if (start.startsWith("1f8b")) {
    throw wholeFile("compressed twice", "decompress it once");
  }
  return null;
}
