import { stringify } from "csv-stringify/sync";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { dateOrders, dayOf } from "../../lib/cohort/cells/date-cell.ts";
import { deidentify } from "../../lib/cohort/deidentify/deidentify.ts";
import { orderOfDates } from "../../lib/cohort/deidentify/plan.ts";
import { workbook } from "../../lib/simulate/second-centre/second-centre-workbook.ts";
import { openStudy } from "../../lib/study/mod.ts";
import assert from "node:assert/strict";
import { inFolder, rowsOf } from "./identified-cohort.ts";

// By hand: 2012 is a leap year.
Deno.test("deidentify() counts days of visits from an operation whose year the patients table has", async () => {
  await inFolder(async (folder, options) => {
    await Deno.writeTextFile(
      options.cohort,
      "id,operation date,op_year,age\n7,2012-02-27,2012,50\n8,2013-03-02,2013,60\n",
    );
    await Deno.writeTextFile(
      join(folder, "echo.csv"),
      "id,echo date,mr\n8,2013-04-02,1\n7,2012-03-12,0\n7,2012-03-01,2\n9,2012-03-08,3\n",
    );
    await deidentify({ ...options, id: "id" });
    const clean = await rowsOf(join(folder, "clean/patients.csv"));
    assert.deepEqual(Object.keys(clean[0] ?? {}), ["id", "op_year", "age"]);
    const echo = await rowsOf(join(folder, "clean/echo-visits.csv"));
    const days = echo.map((row) => [row.mr, row["echo date (days)"]]).sort();
    // who is no patient of the other table has no day to count from
    assert.deepEqual(days, [["0", "14"], ["1", "31"], ["2", "3"], ["3", ""]]);
    const firstOf = (year: string) => clean.find(({ op_year }) => op_year === year)?.id;
    const own = echo.filter(({ id }) => id === firstOf("2012")).map(({ mr }) => mr);
    assert.deepEqual(own, ["2", "0"]);
  });
});

// By hand: the 31st of June is no day, and one date says nothing of its century.
Deno.test("deidentify() records how many dates could not be read, and leaves them blank", async () => {
  await inFolder(async (folder, options) => {
    const rows = Array.from({ length: 12 }, (_, i) => ({
      Hospital: `MRN${480_017 + 37 * i}`,
      "Date of surgery": `2012-03-${10 + i}`,
      "Last seen": i === 4 ? "2013-06-31" : i === 5 ? "12/06/13" : `2013-06-${10 + i}`,
    }));
    await Deno.writeTextFile(join(folder, "raw.csv"), stringify(rows, { header: true }));
    const { tables } = await deidentify({ ...options, visits: undefined });
    const columns = tables[0]?.columns ?? [];
    assert.deepEqual(columns.map(({ column, cells, lost }) => [column, cells, lost]), [
      ["Hospital", 12, undefined],
      ["Date of surgery", 12, undefined],
      ["Last seen", 12, 2],
    ]);
    const clean = await rowsOf(join(options.out, "patients.csv"));
    assert.equal(clean.filter((row) => row["Last seen (days)"] === "").length, 2);
  });
});

Deno.test("orderOfDates() says an order only where the dates leave one", () => {
  const orderOf = (...cells: string[]) =>
    orderOfDates(
      dateOrders.map((order) => cells.filter((cell) => !Number.isNaN(dayOf(cell, order))).length),
    );
  assert.equal(orderOf("2014-03-02", "2014-12-13"), "year-first");
  assert.equal(orderOf("13/2/2014", "1/2/2014"), "day-first");
  assert.equal(orderOf("2/13/2014", "1/2/2014"), "month-first");
  assert.equal(orderOf("1/2/2014"), null);
  assert.equal(orderOf("soon"), null);
});

Deno.test("deidentify() reads a workbook's sheet and decimal commas, and writes plain CSV", async () => {
  await inFolder(async (folder, { key, out }) => {
    const second = new URL("../../data-demo/second-centre/", import.meta.url);
    const study = await openStudy(fileURLToPath(new URL("study.json", second)));
    const options = {
      plan: study,
      cohort: fileURLToPath(new URL("operations.xlsx", second)),
      visits: fileURLToPath(new URL("echo.csv", second)),
      sheet: "Operations",
      id: "Patient",
      key,
    };
    const record = await deidentify({ ...options, out });
    // what the study file maps stays, every cell of it but the four that cannot be true (a grade of
    // 5+, an ejection fraction of 0.93, diameters of 50 and 58 cm); what it leaves out is dropped
    const columns = record.tables.flatMap((table) => table.columns);
    const blank = columns.filter(({ became, lost }) => became !== null && lost !== undefined);
    assert.deepEqual(blank.map(({ column, lost }) => [column, lost]), [
      ["MR", 1],
      ["EF", 1],
      ["LVIDd cm", 2],
    ]);
    const gone: string[] = [];
    await deidentify({
      ...options,
      out: join(folder, "again"),
      dropped: (_, raw) => gone.push(raw),
    });
    assert.deepEqual(gone, ["Ward"]);
    const echo = await rowsOf(join(folder, "clean/echo-visits.csv"));
    assert.equal(echo.length, record.tables[1]?.rows);
    assert.ok(echo.every((row) => !Object.values(row).some((cell) => cell.includes(","))));
  });
});

Deno.test("deidentify() reads both tables from sheets of one workbook", async () => {
  await inFolder(async (folder, { key, out }) => {
    const all = join(folder, "all.xlsx");
    const people = [["id", "age"], ...Array.from({ length: 5 }, (_, i) => [`H${i}`, 50 + i])];
    const echoes = [["id", "day", "mr"], ["H1", 30, 2], ["H1", 400, 3]];
    await Deno.writeFile(
      all,
      workbook([
        { name: "Cover", rows: [["nothing"]] },
        { name: "People", rows: people },
        { name: "Echoes", rows: echoes },
      ]),
    );
    const sheets = { sheet: "People", visitsSheet: "Echoes" };
    const { tables } = await deidentify({ cohort: all, visits: all, ...sheets, key, out });
    assert.deepEqual(tables.map(({ rows }) => rows), [5, 2]);
  });
});
