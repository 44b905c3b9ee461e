/** Finds rows by their pseudonym. */
export interface PseudonymIndex {
  /** The first row that has a pseudonym, or -1. */
  rowOf(pseudonym: string): number;
}

/**
 * An index of a column of pseudonyms, in 8 to 16 bytes a row whatever their length.
 *
 * Open addressing over row numbers; the text is compared, so that equal hashes do no harm.
 *
 * @param repeated Called for each row whose pseudonym an earlier row has, with that row.
 */
export function pseudonymIndex(
  pseudonyms: readonly string[],
  repeated: (row: number, first: number) => void = () => {},
): PseudonymIndex {
  let size = 16;
  while (size < 2 * pseudonyms.length) size *= 2;
  const slots = new Int32Array(size).fill(-1);
  const mask = size - 1;
  const slotOf = (pseudonym: string): number => {
    let slot = hash(pseudonym) & mask;
    for (;;) {
      const row = slots[slot]!;
      if (row < 0 || pseudonyms[row] === pseudonym) return slot;
      slot = (slot + 1) & mask;
    }
  };
  for (let row = 0; row < pseudonyms.length; row++) {
    const pseudonym = pseudonyms[row]!;
    if (pseudonym === "") continue;
    const slot = slotOf(pseudonym);
    const first = slots[slot]!;
    if (first < 0) slots[slot] = row;
    else repeated(row, first);
  }
  return {
    rowOf: (pseudonym) => pseudonym === "" ? -1 : slots[slotOf(pseudonym)]!,
  };
}

/** FNV-1a over 16-bit units, its bits mixed once more. */
function hash(text: string): number {
  let value = 0x811c9dc5;
  for (let i = 0; i < text.length; i++) {
    value = Math.imul(value ^ text.charCodeAt(i), 0x01000193);
  }
  value ^= value >>> 15;
  return Math.imul(value, 0x2c1b3c6d) ^ (value >>> 12);
}
