import { strFromU8, strToU8, Unzip, UnzipInflate, zipSync } from "fflate";
import { FaultError, wholeFile } from "./file-format.ts";
import { columnNumber } from "./workbook-merges.ts";

/** Bytes that the parts of a workbook may have together, unpacked. */
const mostBytes = 400 * 2 ** 20;
// The sheets of a real workbook are text: tens to one. Common practice, no source.
const mostRatio = 250;
const ratioFloor = 16 * 2 ** 20;
const mostParts = 5000;
/** Cells of a sheet, blanks inside its outline included. */
const mostCells = 60_000_000;

/**
 * Unpacks a workbook under limits, and packs again what a reader of its values needs.
 *
 * Every byte is counted as it comes out, whatever the archive says of itself, and reading stops at
 * the limit: an archive that unpacks to gigabytes costs no more than the limit. What goes on is
 * stored uncompressed, so that the reader unpacks nothing itself. Two changes are made on the way,
 * so that nothing is lost in silence: an error value (`#N/A`) becomes text, and a formula without a
 * stored value stops the reading.
 *
 * @throws {FaultError} if it is no workbook, or one beyond the limits.
 */
export function safeWorkbook(file: Uint8Array): ArrayBuffer {
  const parts: Record<string, Uint8Array> = Object.create(null);
  for (const [name, bytes] of unpack(file)) {
    parts[name] = /^xl\/worksheets\/[^/]+\.xml$/.test(name) ? checkedSheet(bytes) : bytes;
  }
  if (!parts["xl/workbook.xml"]) throw notWorkbook();
  const packed = zipSync(parts, { level: 0 });
  return packed.buffer.slice(packed.byteOffset, packed.byteOffset + packed.byteLength);
}

/** Whether an archive's directory, which stands at its end, is there. */
function isWhole(file: Uint8Array): boolean {
  for (let at = file.length - 22; at >= 0 && at > file.length - 65_558; at--) {
    if (file[at] === 80 && file[at + 1] === 75 && file[at + 2] === 5 && file[at + 3] === 6) {
      return true;
    }
  }
  return false;
}

function unpack(file: Uint8Array): Map<string, Uint8Array> {
  if (!isWhole(file)) throw damaged();
  const parts = new Map<string, Uint8Array>();
  let total = 0;
  let count = 0;
  let unfinished = 0;
  const unzip = new Unzip((part) => {
    if (++count > mostParts) throw tooLarge();
    // only these are read; names are never used as paths
    if (!/^[\w [\]().-]+(\/[\w [\]().-]+)*\.(xml|rels)$/.test(part.name)) return;
    if (parts.has(part.name)) throw notWorkbook();
    const chunks: Uint8Array[] = [];
    let length = 0;
    part.ondata = (error, chunk, final) => {
      // what is thrown here comes back once, as an error of the part
      if (error) throw error instanceof FaultError ? error : damaged();
      length += chunk.length;
      total += chunk.length;
      if (total > mostBytes || total > Math.max(ratioFloor, mostRatio * file.length)) {
        throw tooLarge();
      }
      chunks.push(chunk);
      if (!final) return;
      unfinished--;
      const bytes = new Uint8Array(length);
      let at = 0;
      for (const piece of chunks) {
        bytes.set(piece, at);
        at += piece.length;
      }
      parts.set(part.name, bytes);
    };
    unfinished++;
    part.start();
  });
  unzip.register(UnzipInflate);
  try {
    const step = 2 ** 16;
    for (let at = 0; at < file.length; at += step) {
      unzip.push(file.subarray(at, at + step), at + step >= file.length);
    }
  } catch (error) {
    throw error instanceof FaultError ? error : damaged();
  }
  if (unfinished > 0) throw damaged();
  return parts;
}

function checkedSheet(bytes: Uint8Array): Uint8Array {
  const xml = strFromU8(bytes);
  let columns = 0;
  let rows = 0;
  for (const [, letters = "", digits = ""] of xml.matchAll(/<c\b[^>]*?\sr="([A-Z]*)(\d*)"/g)) {
    const column = letters.length > 3 ? Infinity : columnNumber(letters);
    if (column > columns) columns = column;
    if (Number(digits) > rows) rows = Number(digits);
  }
  for (const [, digits = ""] of xml.matchAll(/<row\b[^>]*?\sr="(\d*)"/g)) {
    if (Number(digits) > rows) rows = Number(digits);
  }
  // the limits of the format
  if (rows > 1_048_576 || columns > 16_384 || rows * columns > mostCells) throw tooLarge();
  if (/<f\b[^>]*(\/>|>[^<]*<\/f>)\s*(<v\s*\/>)?\s*<\/c>/.test(xml)) {
    throw wholeFile(
      "the workbook has formulas whose values are not stored",
      "open it in a spreadsheet program and save it again, or save the sheet as CSV",
    );
  }
  const errors = /(<c\b[^>]*?\st=)"e"/g;
  return errors.test(xml) ? strToU8(xml.replace(errors, '$1"str"')) : bytes;
}

function tooLarge(): FaultError {
  return wholeFile(
    "the workbook unpacks to more than a table of a cohort has",
    "save the sheet as CSV; if it is small, look at what else is in the workbook",
  );
}

function damaged(): FaultError {
  return wholeFile("the workbook is damaged or cut short", "save it again, or save it as CSV");
}

/** What is said of a zip archive that holds no workbook. */
export function notWorkbook(): FaultError {
  return wholeFile(
    "an archive, but not an XLSX workbook",
    "save the table as XLSX or as CSV",
  );
}
