import { type HeldTexts, sameText } from "../cells/mod.ts";

/** Finds rows by their pseudonym. */
export interface PseudonymIndex {
  /** The first row that has the pseudonym of a row of another column, or -1. */
  rowOf(others: HeldTexts, row: number): number;
}

/**
 * An index of a column of pseudonyms, in 8 to 16 bytes a row whatever their length.
 *
 * Open addressing over row numbers; the text is compared, so that equal hashes do no harm.
 *
 * @param repeated Called for each row whose pseudonym an earlier row has, with that row.
 */
export function pseudonymIndex(
  pseudonyms: HeldTexts,
  repeated: (row: number, first: number) => void = () => {},
): PseudonymIndex {
  const n = pseudonyms.lengths.length;
  let size = 16;
  while (size < 2 * n) size *= 2;
  const slots = new Int32Array(size).fill(-1);
  const mask = size - 1;
  const slotOf = (texts: HeldTexts, row: number): number => {
    let slot = hash(texts, row) & mask;
    for (;;) {
      const other = slots[slot]!;
      if (other < 0 || sameText(pseudonyms, other, texts, row)) return slot;
      slot = (slot + 1) & mask;
    }
  };
  for (let row = 0; row < n; row++) {
    if (pseudonyms.lengths[row] === 0) continue;
    const slot = slotOf(pseudonyms, row);
    const first = slots[slot]!;
    if (first < 0) slots[slot] = row;
    else repeated(row, first);
  }
  return {
    rowOf: (others, row) => others.lengths[row] === 0 ? -1 : slots[slotOf(others, row)]!,
  };
}

/** FNV-1a over bytes, its bits mixed once more. */
function hash({ pool, places, lengths }: HeldTexts, row: number): number {
  let value = 0x811c9dc5;
  const place = places[row]!;
  const end = place + lengths[row]!;
  for (let at = place; at < end; at++) value = Math.imul(value ^ pool[at]!, 0x01000193);
  value ^= value >>> 15;
  return Math.imul(value, 0x2c1b3c6d) ^ (value >>> 12);
}
