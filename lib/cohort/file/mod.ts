/** Files as records of text: CSV, workbooks, encodings, compression. @module */
export type { RecordTaker } from "./csv.ts";
export {
  type Delimiter,
  type Encoding,
  faultInWords,
  type FileFault,
  type FileFormat,
  formatInWords,
  type FormatOptions,
  type ReadingProgress,
} from "./file-format.ts";
export { readingLines } from "./reading-lines.ts";
export { readMerges, readRecords, readSheets } from "./read-records.ts";
