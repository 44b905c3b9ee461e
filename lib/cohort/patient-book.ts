import { type DateOrder, dayOf } from "./date-cell.ts";
import type { Pseudonymizer } from "./deidentify-key.ts";
import { dateOrders } from "./deidentify-plan.ts";

/** What a clean copy needs to know of each patient, by record number. */
export interface PatientBook {
  /** Place of a record number in the book, a new one where it was not seen before. */
  placeOf(id: string): number;
  /** Notes the date of a patient's operation, as the file writes it. */
  noteOperation(place: number, cell: string): void;
  /** Day of operation, NaN where it is not known. */
  operationDay(place: number, order: DateOrder): number;
  /** Gives every patient in the book, and every one still to come, a pseudonym. */
  giveNames(pseudonymOf: Pseudonymizer): void;
  /** "" before names are given, and for a blank record number. */
  pseudonym(place: number): string;
  /** Each patient's rank in the order of pseudonyms. @throws {Error} if two share one. */
  ranks(): Uint32Array;
}

/** An empty {@link PatientBook}. */
export function patientBook(): PatientBook {
  let nameOf: Pseudonymizer = () => "";
  const places = new Map<string, number>();
  const names: string[] = [];
  // until the order of dates is known, the day in each of them
  const days = dateOrders.map((): number[] => []);
  return {
    placeOf(id) {
      let place = places.get(id);
      if (place === undefined) {
        place = names.length;
        places.set(id, place);
        names.push(id === "" ? "" : nameOf(id));
        for (const column of days) column.push(NaN);
      }
      return place;
    },
    noteOperation(place, cell) {
      dateOrders.forEach((order, i) => days[i]![place] = dayOf(cell, order));
    },
    operationDay: (place, order) => days[dateOrders.indexOf(order)]?.[place] ?? NaN,
    giveNames(pseudonymOf) {
      nameOf = pseudonymOf;
      for (const [id, place] of places) if (id !== "") names[place] = nameOf(id);
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
