/** How a file's text is encoded. */
export type Encoding = "utf-8" | "utf-16le" | "utf-16be" | "windows-1252";

/** What separates two values of a row. */
export type Delimiter = "," | ";" | "\t";

/** What a person may state about a file, in place of what would be found by looking at it. */
export interface FormatOptions {
  /** Letters' encoding; default, told from the bytes. */
  encoding?: Encoding;
  /** What stands between values; default, told from the first lines. */
  delimiter?: Delimiter;
  /** What stands before decimals; default, told from the numbers. */
  decimal?: "." | ",";
  /** Name of the sheet, in a workbook. */
  sheet?: string;
}

/** How a file is written, as stated or found. */
export interface FileFormat {
  /** Text or workbook. */
  kind: "csv" | "xlsx";
  /** Whether the file was compressed. */
  compressed: boolean;
  /** `null` in a workbook. */
  encoding: Encoding | null;
  /** `null` in a workbook. */
  delimiter: Delimiter | null;
  /** What stands before decimals. */
  decimal: "." | ",";
}

/** Why a file could not be read to its end, without a word of its content. */
export interface FileFault {
  /** The line at which reading stopped, the header being line 1; `null` for the whole file. */
  line: number | null;
  message: string;
  remedy: string;
}

/** A fault in words, with its line and what to do. */
export function faultInWords({ line, message, remedy }: FileFault): string {
  return `${line === null ? "" : `line ${line}: `}${message}; ${remedy}`;
}

/** How far the reading of a file has come. */
export interface ReadingProgress {
  /** The file's name without its folder. */
  file: string;
  /** Rows so far. */
  rows: number;
  /** Bytes of the file read, before decompression. */
  bytes: number;
  /** Bytes there are. */
  total: number;
}

/** Thrown inside the readers; what a person sees is the fault. */
export class FaultError extends Error {
  override readonly name = "FaultError";

  constructor(readonly fault: FileFault) {
    super(fault.message);
  }
}

/** A fault of the file as a whole. */
export function wholeFile(message: string, remedy: string): FaultError {
  return new FaultError({ line: null, message, remedy });
}

const names: Record<Encoding, string> = {
  "utf-8": "UTF-8",
  "utf-16le": "UTF-16",
  "utf-16be": "UTF-16",
  "windows-1252": "Windows-1252",
};

/** A format in words: "semicolons, decimal commas, Windows-1252". */
export function formatInWords(format: FileFormat): string {
  const separated = { ",": "commas", ";": "semicolons", "\t": "tabs" };
  const parts = format.kind === "xlsx" ? ["XLSX workbook"] : [
    ...(format.delimiter ? [`values separated by ${separated[format.delimiter]}`] : []),
    format.decimal === "," ? "decimal commas" : "decimal points",
    ...(format.encoding ? [names[format.encoding]] : []),
  ];
  return (format.compressed ? [...parts, "gzip"] : parts).join(", ");
}
