// A cohort as it is handed from one process of a run to the others.
import { deepEqual, equal, ok, throws } from "node:assert/strict";
import fc from "fast-check";
import { cohortBytes, cohortFrom } from "../../lib/cohort/kept/mod.ts";
import { type Cohort, type Columns, readCohort, selectEligible } from "../../lib/cohort/mod.ts";
import { columnAt, columnsBeside, lazyColumns } from "../../lib/cohort/model/mod.ts";
import { DataError, openPacked, packColumns, packedBytes } from "../../lib/numerics/mod.ts";
import { openStudy, type Study } from "../../lib/study/mod.ts";

function joined(pieces: Iterable<Uint8Array>): Uint8Array<ArrayBuffer> {
  const all = [...pieces].map((piece) => piece.slice());
  const bytes = new Uint8Array(all.reduce((sum, { length }) => sum + length, 0));
  let at = 0;
  for (const piece of all) {
    bytes.set(piece, at);
    at += piece.length;
  }
  return bytes;
}

const again = (cohort: Cohort, study: Study) =>
  cohortFrom(packedBytes(joined(cohortBytes(cohort, study))), study);

/** Every column made, numbers as text that tells -0 from 0 and NaN from nothing. */
const shown = (columns: Columns) =>
  Object.fromEntries(
    Object.entries(columns).map(([name, column]) => [
      name,
      Array.from<string | number>(column).map((value) => Object.is(value, -0) ? "-0" : `${value}`),
    ]),
  );
const plain = ({ visits, columns, ...cohort }: Cohort) => ({
  ...cohort,
  columns: shown(columns),
  offsets: visits.offsets,
  visits: shown({ ...visits.columns, " day": visits.day, " mr": visits.mr }),
});

Deno.test("the demonstration's cohort comes back to the last bit", async () => {
  const study = await openStudy();
  const cohort = await readCohort(study);
  const back = again(cohort, study);
  ok(back);
  deepEqual(plain(back), plain(cohort));
  const [given, made] = [selectEligible(cohort, study), selectEligible(back, study)];
  deepEqual(shown(made.columns), shown(given.columns));
  deepEqual(made.flow, given.flow);
});

Deno.test("any numbers and any text come back to the last bit", async () => {
  const study = await openStudy();
  const number = fc.oneof(
    fc.double(),
    fc.constant(NaN),
    fc.constant(-0),
    fc.integer({ min: -400, max: 400 }).map((tenths) => tenths / 10),
  );
  const rows = fc.array(fc.record({ number, text: fc.string(), id: fc.string() }), {
    minLength: 1,
  });
  fc.assert(fc.property(rows, (all) => {
    const n = all.length;
    const cohort: Cohort = {
      n,
      ids: all.map(({ id }) => id),
      columns: {
        numbers: Float64Array.from(all, (row) => row.number),
        texts: all.map(({ text }) => text),
      },
      visits: {
        count: n,
        offsets: Int32Array.from({ length: n + 1 }, (_, i) => i),
        day: Float64Array.from(all, (row) => row.number),
        mr: Float64Array.from(all, (_, i) => i % 5),
        columns: { reason: all.map(({ text }) => text) },
      },
      invalid: new Uint8Array(n),
      problems: [],
      log: [],
    };
    const back = again(cohort, study);
    ok(back);
    deepEqual(plain(back), plain(cohort));
  }));
});

Deno.test("a study that reads its files otherwise does not take the columns", async () => {
  const study = await openStudy();
  const bytes = packedBytes(joined(cohortBytes(await readCohort(study), study)));
  const missing = [...study.mapping.missing, "unknown"];
  equal(cohortFrom(bytes, { ...study, mapping: { ...study.mapping, missing } }), undefined);
  const closingYear = study.timeZero.closingYear - 1;
  equal(cohortFrom(bytes, { ...study, timeZero: { ...study.timeZero, closingYear } }), undefined);
});

Deno.test("no column is read before it is asked for, and none of it is held besides", async () => {
  const study = await openStudy();
  const cohort = await readCohort(study);
  const { length, read } = packedBytes(joined(cohortBytes(cohort, study)));
  let bytes = 0;
  const counted = (at: number, some: number) => {
    bytes += some;
    return read(at, some);
  };
  const back = cohortFrom({ length, read: counted }, study);
  ok(back);
  const head = bytes;
  ok(head < length / 4, `${head} of ${length} bytes are read to open it`);
  deepEqual(back.columns.age, cohort.columns.age);
  ok(bytes > head && bytes - head <= 8 * cohort.n);
  equal(back.columns.age, back.columns.age);
  const once = bytes;
  deepEqual(shown(back.visits.columns), shown(cohort.visits.columns));
  ok(bytes > once);
});

Deno.test("bytes that are cut short, or others, are refused", () => {
  const bytes = joined(packColumns({ about: "x", columns: { a: Float64Array.of(1, 2, 3) } }));
  const { about, column } = openPacked(packedBytes(bytes));
  deepEqual([about, column("a")], ["x", Float64Array.of(1, 2, 3)]);
  throws(() => column("b"), DataError);
  for (const wrong of [bytes.slice(0, -8), bytes.slice(0, 12), new Uint8Array(64)]) {
    throws(() => openPacked(packedBytes(wrong)), DataError);
  }
});

Deno.test("a column is made once, when it is asked for, and none to stand beside another", () => {
  const made: string[] = [];
  const maker = (name: string) => (): [string, () => Float64Array] => [name, () => {
    made.push(name);
    return Float64Array.of(1);
  }];
  const columns = lazyColumns(new Map([maker("a")(), maker("b")()]));
  const more = columnsBeside(columns, new Map([maker("c")(), maker("b")()]));
  deepEqual(Object.keys(more), ["a", "b", "c"]);
  deepEqual(made, []);
  equal(more.a, columns.a);
  equal(more.a, more.a);
  deepEqual(more.b, Float64Array.of(1));
  deepEqual(made, ["a", "b"]);
});

Deno.test("a column in some rows; one that is not there is missing", () => {
  const picked = columnAt(Float64Array.of(1, 2, 3), Int32Array.of(2, 0, 5));
  deepEqual(Array.from(picked, String), ["3", "1", "NaN"]);
  deepEqual(columnAt(["x", "y"], Int32Array.of(1, 7)), ["y", ""]);
});
