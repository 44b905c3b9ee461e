import { dirname, resolve } from "node:path";

/** Lines of text that come in any order and are written in the order of rank and day. */
export interface RankedLines extends Disposable {
  readonly count: number;
  /** @param rank From 0 to below the number of ranks. @param day A number, never NaN. */
  add(line: string, rank: number, day: number): void;
  /** Gives the lines in blocks of bytes, those of a rank and day in the order they came. */
  blocks(): Generator<Uint8Array<ArrayBuffer>>;
}

const parts = 128;
const bufferBytes = 2 ** 16;
// before each line: its length and rank as 4 bytes each, and its day as 8
const headBytes = 16;

/** What of a part lies in the file, and what is not written yet. */
interface Part {
  pieces: { at: number; length: number }[];
  buffer: Uint8Array<ArrayBuffer>;
  filled: number;
}

/**
 * An empty {@link RankedLines}. The lines lie in a file without a name, by ranges of rank; held is
 * 8 MB, and one range in 128 of the lines while they are put in order.
 *
 * The file is removed from its folder as soon as it is open, so that nothing of it is left however
 * the process ends; its room is free once it is disposed of.
 */
export function rankedLines(folder: string, ranks: number): RankedLines {
  const path = Deno.makeTempFileSync({ dir: folder, prefix: ".clean-" });
  const file = Deno.openSync(path, { read: true, write: true });
  Deno.removeSync(path);
  const encoder = new TextEncoder();
  const held = Array.from({ length: parts }, (): Part => ({
    pieces: [],
    buffer: new Uint8Array(),
    filled: 0,
  }));
  let end = 0;
  let count = 0;
  const flush = (part: Part) => {
    if (part.filled === 0) return;
    writeAll(file, part.buffer.subarray(0, part.filled));
    part.pieces.push({ at: end, length: part.filled });
    end += part.filled;
    part.filled = 0;
  };
  return {
    get count() {
      return count;
    },
    add(line, rank, day) {
      const part = held[Math.floor(rank * parts / Math.max(1, ranks))]!;
      // a UTF-16 unit takes three bytes at most
      const most = headBytes + 3 * line.length;
      if (part.filled + most > part.buffer.length) {
        flush(part);
        if (most > part.buffer.length) part.buffer = new Uint8Array(Math.max(bufferBytes, most));
      }
      const at = part.filled;
      const { written } = encoder.encodeInto(line, part.buffer.subarray(at + headBytes));
      const head = new DataView(part.buffer.buffer, at, headBytes);
      head.setUint32(0, written);
      head.setUint32(4, rank);
      head.setFloat64(8, day);
      part.filled += headBytes + written;
      count++;
    },
    *blocks() {
      for (const part of held) {
        flush(part);
        part.buffer = new Uint8Array();
      }
      for (const { pieces } of held) {
        const bytes = new Uint8Array(pieces.reduce((sum, { length }) => sum + length, 0));
        let filled = 0;
        for (const { at, length } of pieces) {
          file.seekSync(at, Deno.SeekMode.Start);
          readAll(file, bytes.subarray(filled, filled += length));
        }
        if (filled > 0) yield inOrder(bytes);
      }
    },
    [Symbol.dispose]: () => file.close(),
  };
}

/** The lines of a part in the order of rank and day, without what stands before each. */
function inOrder(bytes: Uint8Array<ArrayBuffer>): Uint8Array<ArrayBuffer> {
  const view = new DataView(bytes.buffer);
  const lines: { at: number; length: number; rank: number; day: number }[] = [];
  for (let at = 0; at < bytes.length;) {
    const length = view.getUint32(at);
    const [rank, day] = [view.getUint32(at + 4), view.getFloat64(at + 8)];
    lines.push({ at: at + headBytes, length, rank, day });
    at += headBytes + length;
  }
  // sorting is stable: what came first stays first
  lines.sort((a, b) => a.rank - b.rank || a.day - b.day);
  const ordered = new Uint8Array(bytes.length - headBytes * lines.length);
  let filled = 0;
  for (const { at, length } of lines) {
    ordered.set(bytes.subarray(at, at + length), filled);
    filled += length;
  }
  return ordered;
}

function writeAll(file: Deno.FsFile, bytes: Uint8Array): void {
  for (let done = 0; done < bytes.length;) done += file.writeSync(bytes.subarray(done));
}

function readAll(file: Deno.FsFile, bytes: Uint8Array): void {
  for (let done = 0; done < bytes.length;) {
    const read = file.readSync(bytes.subarray(done));
    if (read === null) throw new Error("the file of clean lines is shorter than was written");
    done += read;
  }
}

/** The nearest folder that is there, `out` or one above it: it is on the same disk. */
export async function folderFor(out: string): Promise<string> {
  const folder = resolve(out);
  const above = dirname(folder);
  try {
    if ((await Deno.stat(folder)).isDirectory) return folder;
  } catch (error) {
    if (!(error instanceof Deno.errors.NotFound) || above === folder) throw error;
  }
  return folderFor(above);
}
