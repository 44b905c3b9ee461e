import { type DateOrder, dayOf } from "../cells/mod.ts";
import type { Pseudonymizer } from "./key.ts";
import { dateOrders } from "./plan.ts";

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

/** An empty {@link PatientBook}. */
export function patientBook(): PatientBook {
  const places = new Map<string, number>();
  let names: string[] = [];
  // until the order of dates is known, the day in each of them
  const days = dateOrders.map((): number[] => []);
  return {
    placeOf(id) {
      let place = places.get(id);
      if (place === undefined) {
        place = places.size;
        places.set(id, place);
        for (const column of days) column.push(NaN);
      }
      return place;
    },
    noteOperation(place, cell) {
      dateOrders.forEach((order, i) => days[i]![place] = dayOf(cell, order));
    },
    operationDay: (place, order) => days[dateOrders.indexOf(order)]?.[place] ?? NaN,
    async giveNames(pseudonymsOf) {
      names = await pseudonymsOf([...places.keys()]);
      const blank = places.get("");
      if (blank !== undefined) names[blank] = "";
    },
    pseudonym: (place) => names[place] ?? "",
    ranks() {
      const order = Uint32Array.from(names, (_, place) => place)
        .sort((a, b) => compare(names[a] ?? "", names[b] ?? ""));
      const ranks = new Uint32Array(names.length);
      order.forEach((place, rank) => {
        const before = order[rank - 1];
        if (before !== undefined && names[before] === names[place]) {
          throw new Error("two record numbers share a pseudonym");
        }
        ranks[place] = rank;
      });
      return ranks;
    },
  };
}

function compare(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
