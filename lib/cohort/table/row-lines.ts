/** The line of a file on which each row of a table ends. */
export interface RowLines {
  /** Takes the next row's line, beyond that of the row before. */
  add(line: number): void;
  /** The line of a row; `undefined` of one that there is not. */
  at(row: number): number | undefined;
}

/**
 * Lines of rows, nearly all of which are one line each: held is where each stretch of such begins,
 * 8 bytes apiece.
 */
export function rowLines(): RowLines {
  let firsts = new Int32Array(16);
  let lines = new Int32Array(16);
  let stretches = 0;
  let n = 0;
  let next = NaN;
  return {
    add(line) {
      if (line !== next) {
        if (stretches === firsts.length) {
          firsts = new Int32Array(firsts.buffer.transfer(8 * stretches));
          lines = new Int32Array(lines.buffer.transfer(8 * stretches));
        }
        firsts[stretches] = n;
        lines[stretches++] = line;
      }
      next = line + 1;
      n++;
    },
    at(row) {
      if (!(row >= 0 && row < n)) return undefined;
      let low = 0;
      let high = stretches - 1;
      while (low < high) {
        const middle = (low + high + 1) >>> 1;
        if (firsts[middle]! <= row) low = middle;
        else high = middle - 1;
      }
      return lines[low]! + row - firsts[low]!;
    },
  };
}
