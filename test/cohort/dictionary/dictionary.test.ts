import { deepEqual, equal, ok } from "node:assert/strict";
import {
  appliesTo,
  cohortJsonSchema,
  dictionary,
  dictionaryColumn,
  isConfounder,
  isNumeric,
} from "../../../lib/cohort/mod.ts";

const all = [...dictionary.patients, ...dictionary.visits];

Deno.test("dictionary survives being written as JSON", () => {
  deepEqual(JSON.parse(JSON.stringify(dictionary)), dictionary);
});

Deno.test("dictionary is the one published beside the demonstration cohort", async () => {
  const path = new URL("../../../data-demo/dictionary.json", import.meta.url);
  deepEqual(
    JSON.parse(await Deno.readTextFile(path)),
    dictionary,
    "data-demo/dictionary.json is out of date: deno task demo-data",
  );
});

Deno.test("cohortJsonSchema() is the one published beside the demonstration cohort", async () => {
  const path = new URL("../../../data-demo/cohort.schema.json", import.meta.url);
  const text = JSON.stringify(cohortJsonSchema(), null, 2) + "\n";
  equal(
    await Deno.readTextFile(path),
    text,
    "data-demo/cohort.schema.json is out of date: deno task schemas",
  );
});

Deno.test("dictionary names each column of a table once, with ranges in order", () => {
  for (const table of [dictionary.patients, dictionary.visits]) {
    equal(new Set(table.map(({ name }) => name)).size, table.length);
  }
  for (const { name, hard, soft, categories, type } of all) {
    if (hard) ok(hard.min < hard.max, name);
    if (hard && soft) ok((soft.max ?? hard.max) <= hard.max, name);
    equal(categories !== null, ["category", "set", "binary"].includes(type), name);
  }
});

Deno.test("dictionary conditions refer to columns and codes there are", () => {
  for (const { name, condition } of all) {
    if (!condition) continue;
    const other = dictionaryColumn("patients", condition.column);
    ok(other, name);
    if ("values" in condition && other.categories) {
      const codes = other.categories.map(({ code }) => code);
      ok(condition.values.every((value) => codes.includes(value)), name);
    }
  }
});

Deno.test("isConfounder() refuses what comes with or after the operation", () => {
  const named = (name: string) => {
    const column = dictionaryColumn("patients", name);
    return column !== undefined && isConfounder(column);
  };
  ok(["age", "lvef", "tether", "op_year", "urgency"].every(named));
  ok(!["id", "cpb", "ring_mm", "mr_exit", "intended", "final", "dead"].some(named));
});

Deno.test("isNumeric() tells numbers from codes", () => {
  deepEqual(
    ["age", "nyha", "redo", "sex", "adjuncts", "surgeon"].map((name) => {
      const column = dictionaryColumn("patients", name);
      return column && isNumeric(column);
    }),
    [true, true, true, false, false, false],
  );
});

// By hand, one row a kind of condition.
Deno.test("appliesTo() follows each kind of condition", () => {
  const of = {
    n: 4,
    columns: {
      aetiology: ["degenerative", "ischaemic", "", "functional_nonischaemic"],
      dead: Float64Array.of(0, 1, NaN, 1),
      fu_days: Float64Array.of(0, 1, NaN, 500),
      intended: ["repair", "repair", "", "replacement"],
      final: ["repair", "replacement", "repair", "repair"],
    },
  };
  deepEqual([...appliesTo(of, "tether")], [0, 1, 0, 1]);
  deepEqual([...appliesTo(of, "death_cause")], [0, 1, 0, 1]);
  deepEqual([...appliesTo(of, "mr_exit")], [0, 1, 0, 1]);
  deepEqual([...appliesTo(of, "convert_reason")], [0, 1, 0, 1]);
  deepEqual([...appliesTo(of, "age")], [1, 1, 1, 1]);
  deepEqual([...appliesTo(of, "ring_mm")], [0, 0, 0, 0]);
});
