import { type DateOrder, dateOrders, dayOf } from "../cells/mod.ts";
import { type Pseudonymizer, pseudonymLength } from "./key.ts";

/** What a clean copy needs to know of each patient, by record number. */
export interface PatientBook {
  /** Place of a record number in the book, a new one where it was not seen before. */
  placeOf(id: string): number;
  /** Notes the date of a patient's operation, as the file writes it. */
  noteOperation(place: number, cell: string): void;
  /** Day of operation, NaN where it is not known. */
  operationDay(place: number, order: DateOrder): number;
  /** Gives every patient in the book a pseudonym; a blank record number has "". */
  giveNames(pseudonymsOf: Pseudonymizer): Promise<void>;
  /** "" where no name was given. */
  pseudonym(place: number): string;
  /** Each patient's rank in the order of pseudonyms. @throws {Error} if two share one. */
  ranks(): Uint32Array;
}

/**
 * An empty {@link PatientBook}. Memory: of each patient two bytes a letter of the record number,
 * and 55 to 110 more.
 */
export function patientBook(): PatientBook {
  const ids = idIndex();
  // until the order of dates is known, the day in each of them
  const days = dateOrders.map(() => new Float64Array(1024).fill(NaN));
  // each name in as many bytes; noughts, which come before every letter, for none
  let names = new Uint8Array();
  const byName = (a: number, b: number): number => {
    for (let k = 0; k < pseudonymLength; k++) {
      const apart = names[a * pseudonymLength + k]! - names[b * pseudonymLength + k]!;
      if (apart !== 0) return apart;
    }
    return 0;
  };
  return {
    placeOf: ids.placeOf,
    noteOperation(place, cell) {
      dateOrders.forEach((order, i) => {
        let column = days[i]!;
        if (place >= column.length) {
          days[i] = new Float64Array(2 * Math.max(place, column.length)).fill(NaN);
          days[i].set(column);
          column = days[i];
        }
        column[place] = dayOf(cell, order);
      });
    },
    operationDay: (place, order) => days[dateOrders.indexOf(order)]?.[place] ?? NaN,
    async giveNames(pseudonymsOf) {
      const { count } = ids;
      names = new Uint8Array(pseudonymLength * count);
      for (let from = 0; from < count; from += namedAtOnce) {
        const length = Math.min(namedAtOnce, count - from);
        const some = Array.from({ length }, (_, i) => ids.idAt(from + i));
        (await pseudonymsOf(some)).forEach((name, i) => {
          if (some[i] === "") return;
          const at = pseudonymLength * (from + i);
          for (let k = 0; k < pseudonymLength; k++) names[at + k] = name.charCodeAt(k);
        });
      }
    },
    pseudonym(place) {
      const at = pseudonymLength * place;
      if (!names[at]) return "";
      return String.fromCharCode(...names.subarray(at, at + pseudonymLength));
    },
    ranks() {
      const order = Uint32Array.from({ length: names.length / pseudonymLength }, (_, i) => i)
        .sort(byName);
      const ranks = new Uint32Array(order.length);
      order.forEach((place, rank) => {
        if (rank > 0 && byName(order[rank - 1]!, place) === 0) {
          throw new Error("two record numbers share a pseudonym");
        }
        ranks[place] = rank;
      });
      return ranks;
    },
  };
}

const namedAtOnce = 4096;

/** Record numbers by place: open addressing, over the UTF-16 units of all of them in a row. */
function idIndex() {
  let units = new Uint16Array(2 ** 14);
  // where each ends; it begins where the one before it ends
  let ends = new Uint32Array(1024);
  let slots = new Int32Array(4096).fill(-1);
  let count = 0;
  const startOf = (place: number) => place === 0 ? 0 : ends[place - 1]!;
  const isAt = (place: number, id: string): boolean => {
    const start = startOf(place);
    if (ends[place]! - start !== id.length) return false;
    for (let k = 0; k < id.length; k++) if (units[start + k] !== id.charCodeAt(k)) return false;
    return true;
  };
  const idAt = (place: number) => {
    let id = "";
    for (let at = startOf(place); at < ends[place]!; at++) id += String.fromCharCode(units[at]!);
    return id;
  };
  const slotOf = (id: string): number => {
    let slot = hash(id) & (slots.length - 1);
    while (slots[slot]! >= 0 && !isAt(slots[slot]!, id)) slot = (slot + 1) & (slots.length - 1);
    return slot;
  };
  const grow = () => {
    ends = new Uint32Array(ends.buffer.transfer(8 * ends.length));
    slots = new Int32Array(4 * ends.length).fill(-1);
    for (let place = 0; place < count; place++) slots[slotOf(idAt(place))] = place;
  };
  return {
    get count() {
      return count;
    },
    idAt,
    placeOf(id: string): number {
      const slot = slotOf(id);
      const found = slots[slot]!;
      if (found >= 0) return found;
      const start = startOf(count);
      while (start + id.length > units.length) {
        units = new Uint16Array(units.buffer.transfer(4 * units.length));
      }
      for (let k = 0; k < id.length; k++) units[start + k] = id.charCodeAt(k);
      ends[count] = start + id.length;
      slots[slot] = count++;
      if (count === ends.length) grow();
      return count - 1;
    },
  };
}

/** FNV-1a over UTF-16 units, its bits mixed once more. */
function hash(id: string): number {
  let value = 0x811c9dc5;
  for (let k = 0; k < id.length; k++) value = Math.imul(value ^ id.charCodeAt(k), 0x01000193);
  value ^= value >>> 15;
  return Math.imul(value, 0x2c1b3c6d) ^ (value >>> 12);
}
