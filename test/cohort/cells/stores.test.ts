import { deepEqual, equal, ok, throws } from "node:assert/strict";
import { looksLikeColumnName } from "../../../lib/cohort/cells/suspicion.ts";
import { dayOf, yearsBetween } from "../../../lib/cohort/cells/date-cell.ts";
import {
  codeStore,
  medianOf,
  numberAt,
  numberStore,
  textAt,
} from "../../../lib/cohort/cells/held-columns.ts";
import { heldTextsOf, textStore } from "../../../lib/cohort/cells/held-texts.ts";
import { pseudonymIndex } from "../../../lib/cohort/table/pseudonym-index.ts";
import { rowLines } from "../../../lib/cohort/table/row-lines.ts";
import fc from "fast-check";

Deno.test("dayOf() reads dates in the file's order, and no day that is not there", () => {
  const day = dayOf("2012-02-29", "year-first");
  for (const text of ["20120229", "2012/2/29", "29 Feb 2012", "29-FEB-2012", "2012-02-29 10:30"]) {
    equal(dayOf(text, "month-first"), day, text);
  }
  equal(dayOf("29.02.2012", "day-first"), day);
  equal(dayOf("2/29/2012", "month-first"), day);
  for (const text of ["2013-02-29", "29.02.12", "29.02.2012", "yesterday", ""]) {
    ok(Number.isNaN(dayOf(text, "year-first")), text);
  }
  equal(dayOf("1970-01-02", "year-first"), 1);
  equal(yearsBetween(dayOf("1950-03-02", "year-first"), dayOf("2012-03-02", "year-first")), 62);
});

// Identity: what is held in two bytes comes out as it went in, to the last bit.
Deno.test("numberStore() and codeStore() give back what was put in", () => {
  const number = fc.oneof(
    fc.integer({ min: -40_000, max: 40_000 }),
    fc.integer({ min: -40_000, max: 40_000 }).map((k) => k / 100),
    fc.integer({ min: -4000, max: 4000 }).map((k) => k / 10),
    fc.constantFrom(NaN, -0, 0, 1e300, Infinity, 0.1 + 0.2),
    fc.double(),
  );
  fc.assert(
    fc.property(fc.array(number, { maxLength: 40 }), (values) => {
      const store = numberStore();
      values.forEach((value) => store.put(value));
      const held = store.finish();
      values.forEach((value, row) => ok(Object.is(numberAt(held, row), value)));
    }),
    { seed: 6, numRuns: 2000 },
  );
  const store = codeStore();
  for (let i = 0; i < 70_000; i++) store.put(store.codeOf(`S${i}`));
  const held = store.finish();
  deepEqual([0, 65_534, 65_536, 69_999].map((row) => textAt(held, row)), [
    "S0",
    "S65534",
    "S65536",
    "S69999",
  ]);
});

function heldTexts(texts: string[]) {
  const store = textStore();
  for (const text of texts) store.put(text);
  return store.finish();
}

// Identity, and by hand: rows in a row with one text share its bytes.
Deno.test("textStore() gives back pseudonyms, and keeps those of neighbours once", () => {
  const many = Array.from({ length: 5000 }, (_, row) => `P${row >> 1}`.repeat(1 + row % 9 % 2));
  deepEqual([...heldTextsOf(heldTexts(many))], many);
  const held = heldTexts(["P1", "P1", "", "P1"]);
  deepEqual([0, 1, 2, 3].map((row) => textAt(held, row)), ["P1", "P1", "", "P1"]);
  deepEqual([held.pool.length, held.places[0]], [4, held.places[1]]);
  throws(() => heldTexts(["P".repeat(256)]), RangeError);
  throws(() => heldTexts(["Pé"]), RangeError);
});

// Identity: lines of rows, whether each is the next or some are passed over.
Deno.test("rowLines() tells the line of every row", () => {
  fc.assert(
    fc.property(fc.array(fc.constantFrom(1, 1, 1, 2, 7), { maxLength: 200 }), (steps) => {
      const held = rowLines();
      let line = 1;
      const lines = steps.map((step) => line += step);
      lines.forEach((own) => held.add(own));
      deepEqual(lines.map((_, row) => held.at(row)), lines);
      equal(held.at(lines.length), undefined);
      equal(held.at(-1), undefined);
    }),
    { seed: 6 },
  );
});

// By hand: the upper of the middle two, whatever is missing and however it is held.
Deno.test("medianOf() is the upper middle value", () => {
  for (
    const [values, wanted] of [
      [[3, NaN, 1, 2], 2],
      [[-4, -1, 5, 7], 5],
      [[0.25, NaN, 0.1], 0.25],
      [[1e300, -1e300, NaN, 0.5], 0.5],
      [[-327.67, 327.67], 327.67],
      [[NaN], undefined],
      [[], undefined],
    ] as const
  ) {
    const store = numberStore();
    values.forEach((value) => store.put(value));
    equal(medianOf(store.finish()), wanted);
  }
});

Deno.test("pseudonymIndex() finds the first row of each, and tells of the others", () => {
  fc.assert(
    fc.property(fc.array(fc.string({ maxLength: 2 }), { maxLength: 60 }), (ids) => {
      const repeated: [number, number][] = [];
      const texts = heldTexts(ids);
      const index = pseudonymIndex(texts, (row, first) => repeated.push([row, first]));
      const others = heldTexts([...ids, ...ids].reverse());
      [...ids, ...ids].reverse().forEach((id, row) =>
        equal(index.rowOf(others, row), id === "" ? -1 : ids.indexOf(id))
      );
      deepEqual(
        repeated,
        ids.flatMap((id, row) =>
          id !== "" && ids.indexOf(id) < row ? [[row, ids.indexOf(id)]] : []
        ),
      );
    }),
    { seed: 6 },
  );
});

// By hand: headings that other centres write, and values where headings should be.
Deno.test("looksLikeColumnName() takes words of any language for a heading, and no value", () => {
  for (const name of ["Größe cm", "Ätiologie", "Sténose", "eGFR (ml/min)", "EROA cm²", "lvef"]) {
    ok(looksLikeColumnName(name), name);
  }
  for (
    const value of ["02.03.2014", "2014-03-02", "MRN4711234", "a@b.example", "<b>", "=1+1", ""]
      .concat("Mar 2014", "/etc/passwd", "x".repeat(41), "a\nb")
  ) ok(!looksLikeColumnName(value), value);
});
