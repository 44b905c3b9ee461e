import { deepEqual, equal } from "node:assert/strict";
import { findHeader } from "../../../lib/cohort/layout/find-header.ts";
import { joinedNames, readLaidOut } from "../../../lib/cohort/layout/laid-out.ts";
import { readMerges } from "../../../lib/cohort/file/read-records.ts";
import { sheetXml, workbook } from "../../damaged/workbook.ts";

// All expectations by hand.
const records = (...rows: string[]) =>
  rows.map((row, i) => ({ line: i + 1, cells: row.split(",") }));

Deno.test("findHeader() finds names under titles, in one line or two, and units beneath", () => {
  deepEqual(findHeader(records("id,age,sex", "A1,60,F", "A2,70,M"))?.lines, [1]);
  deepEqual(
    findHeader(records("Mitral registry,,,", ",,,", "id,age,sex,EF", "A1,60,F,50"))?.lines,
    [3],
  );
  deepEqual(findHeader(records("id,age,EF", ",years,%", "A1,60,50"))?.lines, [1, 2]);
  deepEqual(findHeader(records("id,age,EF", ",years,", "A1,60,50"))?.lines, [1, 2]);
  deepEqual(findHeader(records("id,age,sex", ",,m", "A1,60,m"))?.lines, [1]);
  deepEqual(
    findHeader(records("Title,,,", "Patient,,Echo,", "id,age,EF,MR", "A1,60,50,3"))?.lines,
    [2, 3],
  );
  // names merged across both lines stand in the upper one alone
  deepEqual(
    findHeader(records("id,age,Echo,,Outcome", ",,EF,MR,", "A1,60,50,3,alive"))?.lines,
    [1, 2],
  );
  deepEqual(
    findHeader(records("id,age,Echo,,,Outcome,", ",,EF,MR,TR,Dead,Days", "A,60,50,3,1,0,9"))?.lines,
    [1, 2],
  );
  deepEqual(
    findHeader(records("T", "id,age,Echo,,,", ",,EF,MR,TR,ESD", "A1,60,50,3,1,40"))?.lines,
    [2, 3],
  );
  // a row of words beneath is a row, where it has a value for every name
  deepEqual(findHeader(records("id,sex,valve", "Axy,F,native", "Bxy,M,native"))?.lines, [1]);
  equal(findHeader(records("1,2,3", "4,5,6")), null);
});

Deno.test("joinedNames() joins groups and units with names, and tells equal names apart", () => {
  deepEqual(joinedNames([["Patient", "", "Echo", ""], ["id", "age", "EF", "MR"]]), [
    "Patient: id",
    "Patient: age",
    "Echo: EF",
    "Echo: MR",
  ]);
  deepEqual(joinedNames([["id", "EF", ""], ["", "%", "mm"]]), ["id", "EF (%)", "(mm)"]);
  deepEqual(joinedNames([["EF", "EF", "", "MR", ""]]), ["EF", "EF (2)", "column 3", "MR"]);
  // a name that is there already is given to no other
  deepEqual(joinedNames([["EF", "EF", "EF (2)", "column 5", "", "__proto__"]]), [
    "EF",
    "EF (3)",
    "EF (2)",
    "column 5",
    "column 5 (2)",
    "column 6",
  ]);
});

Deno.test("readLaidOut() passes titles over and fills merged cells down where asked", async () => {
  const path = await Deno.makeTempFile({ suffix: ".csv" });
  await Deno.writeTextFile(path, "Registry;;\nid;day;mr\nA;1;0\n;30;1\nB;2;\n;;2\n");
  const rows: string[][] = [];
  const fault = await readLaidOut(path, { header: [2], fillDown: ["id"] }, {
    begin() {},
    take: (record) => rows.push(record),
  });
  equal(fault, null);
  deepEqual(rows, [["id", "day", "mr"], ["A", "1", "0"], ["A", "30", "1"], ["B", "2", ""], [
    "B",
    "",
    "2",
  ]]);
  await Deno.remove(path);
});

Deno.test("readLaidOut() fills nothing of one patient's from the patient above", async () => {
  const path = await Deno.makeTempFile({ suffix: ".csv" });
  await Deno.writeTextFile(path, "team;id;sex;day\nX;A;F;1\n;;;30\n;B;;2\n;;;9\n");
  const rows: string[][] = [];
  await readLaidOut(path, { fillDown: ["team", "id", "sex"], id: "id" }, {
    begin() {},
    take: (record) => rows.push(record),
  });
  deepEqual(rows.slice(1), [
    ["X", "A", "F", "1"],
    ["X", "A", "F", "30"],
    ["X", "B", "", "2"],
    ["X", "B", "", "9"],
  ]);
  await Deno.remove(path);
});

Deno.test("readMerges() finds columns with cells merged downwards", async () => {
  const path = await Deno.makeTempFile({ suffix: ".xlsx" });
  const rows = [["id", "day"], ["A", 1], ["", 30], ["B", 2], ["", 9], ["", 12]];
  const merges = '<mergeCells><mergeCell ref="A2:A3"/><mergeCell ref="A4:A6"/>' +
    '<mergeCell ref="A1:B1"/></mergeCells></worksheet>';
  await Deno.writeFile(
    path,
    workbook(rows, {
      "xl/worksheets/sheet1.xml": sheetXml(rows).replace("</worksheet>", merges),
    }),
  );
  deepEqual([...await readMerges(path)], [[0, 5]]);
  await Deno.remove(path);
});
