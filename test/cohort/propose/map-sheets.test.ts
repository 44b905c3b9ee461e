import { deepEqual, equal, match, ok } from "node:assert/strict";
import { fileURLToPath } from "node:url";
import { profileSheets } from "../../../lib/cohort/propose/column-profile.ts";
import { matchSheets, proposeSheets } from "../../../lib/cohort/propose/sheets.ts";
import {
  type Sheet,
  workbook,
} from "../../../lib/simulate/second-centre/second-centre-workbook.ts";
import { parsePlan } from "../../../lib/study/mod.ts";
import { patientsOf, replaced, type Row, smallPlan } from "../small-cohort.ts";

const cover: Sheet = {
  name: "Read me",
  rows: [["Mitral operations, export of the registry"], ["Sheets: operations"], ["and echoes"]],
};

function sheetOf(name: string, rows: Row[]): Sheet {
  const header = Object.keys(rows[0] ?? {});
  return { name, rows: [header, ...rows.map((row) => header.map((key) => row[key] ?? ""))] };
}

const operations = sheetOf("Operations", patientsOf([{}, { age: 71 }, replaced, { sex: "M" }]));
const echoes = sheetOf("Echoes", [{ id: "P0001", day: 30, mr: 0 }, { id: "P0002", day: 9, mr: 1 }]);

/** Runs the command on workbooks; the result is what it printed and the draft it wrote. */
async function mapped(sheets: Sheet[], options: string[] = []) {
  const folder = await Deno.makeTempDir();
  try {
    await Deno.writeFile(`${folder}/all.xlsx`, workbook(sheets));
    const { code, stdout, stderr } = await new Deno.Command(Deno.execPath(), {
      args: [
        "run",
        "--allow-read",
        "--allow-write",
        "--quiet",
        fileURLToPath(new URL("../../../lib/cohort/propose/cli.ts", import.meta.url)),
        ...["--cohort", `${folder}/all.xlsx`, "--out", `${folder}/draft.json`],
        ...options,
      ],
    }).output();
    const draft = code === 0 ? JSON.parse(await Deno.readTextFile(`${folder}/draft.json`)) : null;
    const decoder = new TextDecoder();
    return { code, draft, out: decoder.decode(stdout), error: decoder.decode(stderr) };
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

// By hand.
Deno.test("map looks past a cover note, and says which sheet it took for which table", async () => {
  const { code, draft, out } = await mapped([cover, echoes, operations]);
  equal(code, 0);
  match(out, /a workbook of 3 sheets, none of them named/);
  match(out, /sheet "Read me" \(2 rows, 1 column\): 0\.00 patients, 0\.00 visits/);
  match(
    out,
    /TO CONFIRM: sheet "Operations" .* patients table \(confidence [01]\.\d\d: 27 of 27 required/,
  );
  deepEqual(draft.files, {
    format: { cohort: { sheet: "Operations" }, visits: { sheet: "Echoes" } },
  });
  equal(draft.toConfirm.length, 2);
  match(draft.toConfirm[1], /"Echoes" of all\.xlsx .* visits table .* files\.visits would name/);
  // the draft as a whole is no study file: what must be confirmed stands in its way
  let refused = "";
  try {
    parsePlan({ ...smallPlan, toConfirm: draft.toConfirm });
  } catch (error) {
    refused = String(error);
  }
  match(refused, /toConfirm/);
});

Deno.test("map takes the sheet that is named, and refuses a workbook with none like the table", async () => {
  const named = await mapped([cover, operations, sheetOf("Old", patientsOf([{}]))], [
    "--sheet",
    "Old",
  ]);
  deepEqual([named.code, named.draft.files.format], [0, { cohort: { sheet: "Old" } }]);
  equal(named.draft.toConfirm, undefined);
  const none = await mapped([cover, { ...cover, name: "More" }]);
  equal(none.code, 2);
  match(none.error, /No sheet of all\.xlsx is like the patients table: name it with --sheet/);
});

Deno.test("map prints no sheet's name that could be a value", async () => {
  const { draft, out } = await mapped([cover, { ...operations, name: "2014-03-02" }]);
  ok(!out.includes("2014-03-02"));
  match(draft.toConfirm[0], /^a sheet whose name is not shown/);
  equal(draft.files, undefined);
});

// Regression: the second centre's workbook begins with a sheet of words.
Deno.test("proposeSheets() gives no sheet to two tables", async () => {
  const path = new URL("../../../data-demo/second-centre/operations.xlsx", import.meta.url);
  const { tables, fault } = await profileSheets(fileURLToPath(path));
  equal(fault, null);
  const { patients, visits } = proposeSheets(matchSheets(tables));
  equal(patients?.profile.sheet, "Operations");
  equal(visits, undefined);
});
