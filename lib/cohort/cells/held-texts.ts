/**
 * Pseudonyms as bytes: those of a row begin at its place. Rows that follow each other with the same
 * text, as visits of one patient do, have the same place.
 */
export interface HeldTexts {
  pool: Uint8Array;
  places: Uint32Array;
  lengths: Uint8Array | Int32Array;
}

/** A column of short texts of single bytes that grows row by row. */
export interface TextStore {
  put(text: string): void;
  finish(): HeldTexts;
}

/** Texts of at most 255 letters and digits, in their own bytes and five more a row. */
export function textStore(): TextStore {
  let pool = new Uint8Array(1024);
  let places = new Uint32Array(1024);
  let lengths = new Uint8Array(1024);
  let end = 0;
  let n = 0;
  let before = "";
  let place = 0;
  return {
    put(text) {
      if (n === lengths.length) {
        places = new Uint32Array(places.buffer.transfer(8 * n));
        lengths = new Uint8Array(lengths.buffer.transfer(2 * n));
      }
      if (text !== before) {
        if (end + 255 > pool.length) pool = new Uint8Array(pool.buffer.transfer(2 * pool.length));
        place = end;
        end = written(pool, end, text);
        before = text;
      }
      places[n] = place;
      lengths[n++] = text.length;
    },
    finish: () => ({
      pool: new Uint8Array(pool.buffer.transfer(end)),
      places: new Uint32Array(places.buffer.transfer(4 * n)),
      lengths: new Uint8Array(lengths.buffer.transfer(n)),
    }),
  };
}

function written(pool: Uint8Array, at: number, text: string): number {
  if (text.length > 255) throw new RangeError("a pseudonym is longer than can be held");
  for (let k = 0; k < text.length; k++) {
    const unit = text.charCodeAt(k);
    if (unit > 127) throw new RangeError("a pseudonym is of letters and digits alone");
    pool[at + k] = unit;
  }
  return at + text.length;
}

/** The text of a row; "" for one that there is not. */
export function heldTextAt({ pool, places, lengths }: HeldTexts, row: number): string {
  const place = places[row] ?? 0;
  const end = place + (lengths[row] ?? 0);
  let text = "";
  for (let at = place; at < end; at++) text += String.fromCharCode(pool[at]!);
  return text;
}

/** The texts of all rows, one after the other. */
export function* heldTextsOf(texts: HeldTexts): Generator<string> {
  for (let row = 0; row < texts.lengths.length; row++) yield heldTextAt(texts, row);
}

/** Whether two rows, of one column or of two, have the same text. */
export function sameText(a: HeldTexts, row: number, b: HeldTexts, other: number): boolean {
  const length = a.lengths[row]!;
  if (length !== b.lengths[other]) return false;
  const [at, beside] = [a.places[row]!, b.places[other]!];
  for (let k = 0; k < length; k++) if (a.pool[at + k] !== b.pool[beside + k]) return false;
  return true;
}
