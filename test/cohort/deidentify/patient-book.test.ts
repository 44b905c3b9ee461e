import { deepEqual, equal } from "node:assert/strict";
import fc from "fast-check";
import { pseudonymizer } from "../../../lib/cohort/deidentify/key.ts";
import { patientBook } from "../../../lib/cohort/deidentify/patient-book.ts";

// Another way: JavaScript's own Map, and its order of texts.
Deno.test("patientBook() tells patients apart as a Map does, and ranks them as texts are sorted", async () => {
  const pseudonymsOf = await pseudonymizer(new Uint8Array(32).fill(7));
  const check = async (ids: string[]) => {
    const book = patientBook();
    const places = new Map<string, number>();
    for (const id of ids) {
      if (!places.has(id)) places.set(id, places.size);
      equal(book.placeOf(id), places.get(id));
    }
    ids.forEach((id, i) => book.noteOperation(places.get(id)!, `20${10 + i % 90}-01-02`));
    await book.giveNames(pseudonymsOf);
    const distinct = [...places.keys()];
    const names = (await pseudonymsOf(distinct)).map((name, i) => distinct[i] === "" ? "" : name);
    deepEqual(distinct.map((_, place) => book.pseudonym(place)), names);
    equal(book.pseudonym(distinct.length), "");
    const sorted = names.toSorted();
    deepEqual([...book.ranks()], names.map((name) => sorted.indexOf(name)));
    const last = new Map(ids.map((id, i) => [id, Date.UTC(2010 + i % 90, 0, 2) / 86_400_000]));
    deepEqual(
      distinct.map((_, place) => book.operationDay(place, "year-first")),
      distinct.map((id) => last.get(id)),
    );
  };
  const id = fc.string({ unit: "grapheme", maxLength: 6 }).map((text) => text.normalize().trim());
  await fc.assert(fc.asyncProperty(fc.array(id), check), { numRuns: 50 });
  await check(Array.from({ length: 9000 }, (_, i) => `A${i * i % 7001}`));
});
