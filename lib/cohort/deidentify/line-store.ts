/** Lines of text held as bytes, in whatever order they came, to be taken out in another. */
export interface LineStore {
  readonly count: number;
  add(line: string): void;
  /** The bytes of a line, not to be written to. */
  at(index: number): Uint8Array;
}

const chunkBytes = 2 ** 20;

/** An empty {@link LineStore}. Memory: the lines in UTF-8 and twelve bytes each. */
export function lineStore(): LineStore {
  const encoder = new TextEncoder();
  const chunks: Uint8Array[] = [];
  let free = new Uint8Array();
  // chunk, start and end of each line
  let places = new Uint32Array(3 * 1024);
  let count = 0;
  return {
    get count() {
      return count;
    },
    add(line) {
      // a UTF-16 unit takes three bytes at most
      if (free.length < 3 * line.length) {
        free = new Uint8Array(Math.max(chunkBytes, 3 * line.length));
        chunks.push(free);
      }
      if (3 * count === places.length) {
        const larger = new Uint32Array(2 * places.length);
        larger.set(places);
        places = larger;
      }
      const { written } = encoder.encodeInto(line, free);
      places.set([chunks.length - 1, free.byteOffset, free.byteOffset + written], 3 * count++);
      free = free.subarray(written);
    },
    at(index) {
      const [chunk = -1, start, end] = places.subarray(3 * index, 3 * index + 3);
      return chunks[chunk]?.subarray(start, end) ?? new Uint8Array();
    },
  };
}
