import { type Encoding, wholeFile } from "./file-format.ts";

/**
 * Finds a text file's encoding by reading it through once, or twice where it is not UTF-8.
 *
 * A byte-order mark decides; else zeros in every other byte say UTF-16; else what is valid UTF-8 is
 * UTF-8; else it is Windows-1252, if each of its bytes has a meaning there. Cost O(file).
 *
 * @param open Gives the file's bytes from the beginning.
 * @throws {FaultError} if it is no text in any of these.
 */
export async function findEncoding(
  open: () => Promise<AsyncIterable<Uint8Array>>,
): Promise<Encoding> {
  const decoder = new TextDecoder("utf-8", { fatal: true });
  let first = true;
  let utf8 = true;
  for await (const chunk of await open()) {
    const wide = first ? byMark(chunk) ?? byZeros(chunk) : null;
    if (wide) return wide;
    first = false;
    if (chunk.includes(0)) throw notText();
    utf8 = decodes(decoder, chunk);
    if (!utf8) break;
  }
  if (utf8 && decodes(decoder)) return "utf-8";
  for await (const chunk of await open()) if (!isWestern(chunk)) throw notText();
  return "windows-1252";
}

/** What is said of a file that holds no text. */
export function notText() {
  return wholeFile(
    "not text in UTF-8, UTF-16 or Windows-1252, nor an XLSX workbook",
    "save the table as CSV in UTF-8, or as XLSX",
  );
}

function byMark(chunk: Uint8Array): Encoding | null {
  const [a, b, c] = chunk;
  if (a === 0xef && b === 0xbb && c === 0xbf) return null;
  if (a === 0xff && b === 0xfe) return "utf-16le";
  return a === 0xfe && b === 0xff ? "utf-16be" : null;
}

/** Text in a Western language has a zero in most pairs of bytes, on one side only. */
function byZeros(chunk: Uint8Array): Encoding | null {
  const pairs = Math.min(chunk.length, 4096) >> 1;
  const zeros = [0, 0];
  for (let i = 0; i < 2 * pairs; i++) if (chunk[i] === 0) zeros[i & 1]!++;
  const [even = 0, odd = 0] = zeros;
  if (pairs < 2 || Math.max(even, odd) < 0.6 * pairs || Math.min(even, odd) > 0.02 * pairs) {
    return null;
  }
  return odd > even ? "utf-16le" : "utf-16be";
}

function decodes(decoder: TextDecoder, chunk?: Uint8Array): boolean {
  try {
    decoder.decode(chunk, { stream: chunk !== undefined });
    return true;
  } catch {
    return false;
  }
}

/** Whether no byte is a control character, or one that Windows-1252 leaves undefined. */
function isWestern(chunk: Uint8Array): boolean {
  for (const byte of chunk) {
    if (byte < 32 && byte !== 9 && byte !== 10 && byte !== 13) return false;
    if (byte === 0x81 || byte === 0x8d || byte === 0x8f || byte === 0x90 || byte === 0x9d) {
      return false;
    }
  }
  return true;
}
