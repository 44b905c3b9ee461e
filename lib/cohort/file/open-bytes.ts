import { whyNoFile } from "../../study/file/mod.ts";
import { pipeline, Readable } from "node:stream";
import { createGunzip } from "node:zlib";
import { wholeFile } from "./file-format.ts";

// A table of text repeats itself, yet seldom compresses beyond fifty to one: common practice, no
// source. Below the floor anything goes, as no harm can come of it.
const inflation = { ratio: 250, floor: 64 * 2 ** 20 };

/** A file as a stream of bytes, decompressed where it was compressed with gzip. */
export interface ByteSource {
  bytes: ReadableStream<Uint8Array>;
  compressed: boolean;
  /** Size of the file. */
  size: number;
  /** Bytes of the file read so far, before decompression. */
  position(): number;
}

/**
 * Opens a file as bytes; gzip is recognised by its first two bytes and decompressed on the way.
 *
 * Streams. A file that decompresses to far more than any table would is stopped while it does.
 *
 * @throws {FaultError} if it is not there or cannot be read, here or while the stream is read.
 */
export async function openBytes(path: string): Promise<ByteSource> {
  let file: Deno.FsFile;
  let size: number;
  const why = await whyNoFile(path);
  if (why !== undefined) throw wholeFile(why, "name a file that can be read more than once");
  try {
    file = await Deno.open(path);
  } catch (error) {
    throw error instanceof Deno.errors.NotFound
      ? wholeFile("no such file", "check the path in the study file, and that the file may be read")
      : unreadable();
  }
  const start = new Uint8Array(2);
  let compressed: boolean;
  try {
    const info = await file.stat();
    if (!info.isFile) throw unreadable();
    size = info.size;
    compressed = await file.read(start) === 2 && start[0] === 0x1f && start[1] === 0x8b;
    await file.seek(0, Deno.SeekMode.Start);
  } catch {
    file.close();
    throw unreadable();
  }
  let position = 0;
  const counted = file.readable.pipeThrough(
    new TransformStream<Uint8Array, Uint8Array>({
      transform(chunk, controller) {
        position += chunk.length;
        controller.enqueue(chunk);
      },
    }),
  );
  return {
    bytes: compressed ? decompressed(counted, size) : counted,
    compressed,
    size,
    position: () => position,
  };
}

/** The first bytes of a file, as many as asked for or as there are. */
export async function firstBytes(path: string, count: number): Promise<Uint8Array> {
  const { bytes } = await openBytes(path);
  const head = new Uint8Array(count);
  let filled = 0;
  // leaving the loop cancels the stream, which closes the file
  for await (const chunk of bytes) {
    head.set(chunk.subarray(0, count - filled), filled);
    filled = Math.min(count, filled + chunk.length);
    if (filled === count) break;
  }
  return head.subarray(0, filled);
}

/** All bytes of a file. @throws {FaultError} if there are more than `most`. */
export async function allBytes(path: string, most: number): Promise<Uint8Array<ArrayBuffer>> {
  const { bytes } = await openBytes(path);
  const chunks: Uint8Array[] = [];
  let length = 0;
  for await (const chunk of bytes) {
    length += chunk.length;
    if (length > most) {
      throw wholeFile(
        `larger than the ${Math.round(most / 2 ** 20)} MB a workbook may have`,
        "save the sheet as CSV, which is read in a stream",
      );
    }
    chunks.push(chunk);
  }
  const all = new Uint8Array(length);
  let at = 0;
  for (const chunk of chunks) {
    all.set(chunk, at);
    at += chunk.length;
  }
  return all;
}

function decompressed(
  bytes: ReadableStream<Uint8Array>,
  size: number,
): ReadableStream<Uint8Array> {
  const most = Math.max(inflation.floor, inflation.ratio * size);
  // a file may be several compressed ones in a row, as `cat a.gz b.gz` or a cluster's
  // writer leaves it
  const gunzip = createGunzip();
  pipeline(Readable.fromWeb(bytes as Parameters<typeof Readable.fromWeb>[0]), gunzip, () => {});
  const chunks = gunzip[Symbol.asyncIterator]();
  let length = 0;
  return new ReadableStream<Uint8Array>({
    async pull(controller) {
      let next: IteratorResult<Uint8Array>;
      try {
        next = await chunks.next();
      } catch {
        throw wholeFile("the compressed file is damaged or cut short", "compress the table again");
      }
      if (next.done) return controller.close();
      length += next.value.length;
      if (length > most) {
        gunzip.destroy();
        throw wholeFile(
          `decompresses to more than ${inflation.ratio} times its size`,
          "a table does not: decompress it elsewhere and look at what is in it",
        );
      }
      controller.enqueue(new Uint8Array(next.value));
    },
    cancel: () => void gunzip.destroy(),
  });
}

function unreadable() {
  return wholeFile("it could not be opened", "check that it is a file, and that it may be read");
}
