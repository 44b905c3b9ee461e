import assert from "node:assert/strict";
import { stringify } from "csv-stringify/sync";
import { join } from "node:path";
import { deidentify } from "../../lib/cohort/deidentify/deidentify.ts";
import { asFine } from "../../lib/cohort/deidentify/clean-cells.ts";
import { simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";
import { inFolder, rowsOf } from "./identified-cohort.ts";

// Numbers in their range that say more than the column is for: a day of operation as a decimal
// year, a birthday as a decimal age, a record number behind the decimal point. Invented, by hand.
const planted = {
  op_year: (i: number) => `${2010 + i % 10}.${String(165 + 7 * i).padStart(3, "0")}`,
  age: (i: number) => `${50 + i % 30}.${String(123 + 7 * i)}`,
  bsa: (i: number) => `1.${String(480_017 + 37 * i)}`,
  lvef: (i: number) => `55.${String(101 + 13 * i).slice(0, 3)}`,
  nyha: (i: number) => `2.${String(301 + i)}`,
  fu_days: (i: number) => `900.${String(101 + i)}`,
};

Deno.test("deidentify() keeps no number finer than it is measured", () =>
  inFolder(async (folder, { key, out }) => {
    const { patients } = simulateCohort({ seed: 11, n: 60 });
    const rows = patients.map((row, i) => ({
      ...row,
      ...Object.fromEntries(Object.entries(planted).map(([name, write]) => [name, write(i)])),
    }));
    const cohort = join(folder, "fine.csv");
    await Deno.writeTextFile(cohort, stringify(rows, { header: true }));
    await deidentify({ cohort, key, out, dates: "day-first" });
    const clean = await rowsOf(join(out, "patients.csv"));
    assert.equal(clean.length, 60);
    for (const row of clean) {
      for (const name of ["op_year", "age", "fu_days"]) {
        assert.match(row[name] ?? "", /^\d+$/, `${name}: ${row[name]}`);
      }
      // part of a grade is none
      assert.equal(row.nyha, "");
      for (const name of ["bsa", "lvef"]) {
        const digits = (row[name] ?? "").replace(".", "");
        assert.ok(digits.length <= 4, `${name}: ${row[name]}`);
      }
    }
    // years are cut off, not rounded: somebody operated on in December is not of the next year
    const years = new Set(clean.map(({ op_year }) => Number(op_year)));
    assert.ok(Math.min(...years) === 2010 && Math.max(...years) === 2019);
  }));

Deno.test("asFine() leaves what is measured so", () => {
  const column = (name: string, type: "number" | "integer") => ({ name, type });
  assert.equal(asFine(63.9, column("age", "number")), 63);
  assert.equal(asFine(2016.999, column("op_year", "integer")), 2016);
  assert.equal(asFine(1.874, column("bsa", "number")), 1.874);
  assert.equal(asFine(1.8741, column("bsa", "number")), 1.874);
  assert.equal(asFine(0.012345, column("eroa", "number")), 0.01235);
  assert.equal(asFine(10_512, column("fu_days", "integer")), 10_512);
});
