import { deepEqual, equal, match, ok, rejects } from "node:assert/strict";
import { identifierScan } from "../../lib/cohort/identifiers/scan.ts";
import { validateStudy } from "../../lib/report/validate/validation.ts";
import { validationHtml } from "../../lib/report/validate/html.ts";
import { parsePlan } from "../../lib/study/mod.ts";
import { csvOf, patientsOf, readText, type Row, smallPlan } from "../cohort/small-cohort.ts";
import { plantedFiles } from "./plants.ts";

const waivable = ["name", "place", "device", "vehicle", "free-text"] as const;

/** What is found in one column, as kind, cells and whether it is waived. */
function foundIn(heading: string, values: string[], waived: readonly (typeof waivable)[number][]) {
  const scan = identifierScan([heading], [{ waived }]);
  values.forEach((value, i) => scan.take([value], i + 2));
  return scan.finish().map(({ kind, cells, waived = false }) => [kind, cells, waived]);
}

const repeated = (values: string[], times: number) => Array(times).fill(values).flat();

// By hand.
Deno.test("identifierScan() waives the kinds that the study file names, and no other", () => {
  const makers = [...repeated(["Zorbex", "Quillon"], 20), "Marvane", "Tellurex"];
  // a name that many rows have is one all the same: a referrer's, say
  deepEqual(foundIn("Maker", makers, []), [["name", 42, false]]);
  deepEqual(foundIn("Maker", makers, ["place"]), [["name", 42, false]]);
  deepEqual(foundIn("Maker", makers, ["name"]), [["name", 42, true]]);
  deepEqual(foundIn("Maker", [...makers, "a@example.org", "a@example.org"], ["name"]), [
    ["name", 42, true],
    ["email", 2, false],
  ]);
});

// By hand: what the heading says is waived, what single cells say is not.
Deno.test("identifierScan() looks at the cells under a heading that is waived", () => {
  const towns = repeated(["Northam", "Westerby", "Eastwick"], 10);
  deepEqual(foundIn("Surgeon town", towns, []), [["place", 30, false]]);
  deepEqual(foundIn("Surgeon town", towns, ["place"]), [["place", 30, true]]);
  deepEqual(foundIn("Surgeon town", [...towns, "+44 20 7946 0018"], ["place"]), [
    ["place", 31, true],
    ["telephone", 1, false],
  ]);
  // numerals could be post codes; a heading of dates or comments is never waived
  deepEqual(foundIn("Post code", repeated(["1017", "1018"], 10), ["place"]), [
    ["place", 20, false],
  ]);
  deepEqual(foundIn("Comments", towns, waivable), [["free-text", 30, false]]);
  deepEqual(foundIn("Date of birth", repeated(["Zorbex"], 9), waivable), [["date", 9, false]]);
});

Deno.test("identifierScan() waives nothing where patients have a value of their own, or many digits", () => {
  const letters = [..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"];
  const own = letters.map((letter) => `${letter}orbex, ${letter}uillon`);
  deepEqual(foundIn("Nickname", own, waivable), [["name", 26, false]]);
  deepEqual(foundIn("x", own, waivable), [["name", 26, false]]);
  deepEqual(foundIn("x", [...repeated(["a", "b"], 20), "Dr Zorbex 02079 46"], ["name"]), [
    ["name", 1, false],
  ]);
});

// Identity: a study file that waives all it can lets no number of a person through.
Deno.test("identifierScan() with every waiver still stops at planted dates, contacts and numbers", () => {
  let files = 0;
  for (const { kind, header, rows, position, how } of plantedFiles(200, 20240611)) {
    if ((waivable as readonly string[]).includes(kind)) continue;
    const scan = identifierScan(header, header.map(() => ({ waived: waivable })));
    rows.forEach((row, i) => scan.take(row, i + 2));
    const left = scan.finish().filter((one) => one.position === position && !one.waived);
    ok(left.length > 0, `${kind}, ${how}, ${header[position]}`);
    files++;
  }
  ok(files > 100, String(files));
});

const rows: Row[] = patientsOf(Array.from({ length: 12 }, () => ({ Maker: "Zorbex" })));
const others = patientsOf([...Array(12).fill({ Maker: "Zorbex" }), { Maker: "Tellurex" }]);
const why = "makers' names, from the catalogue <1>";
const mappingOf = (notIdentifying?: unknown) => ({
  patients: { Maker: { ignore: "not used", ...(notIdentifying ? { notIdentifying } : {}) } },
});

Deno.test("readCohort() stops at a column that looks like names, and goes on where it is waived, saying so", async () => {
  const visits = "id,day,mr\nP0001,1,0\n";
  await rejects(
    readText(csvOf(others), visits, { mapping: mappingOf() }),
    /Maker: line 14: 1 cell/,
  );
  const mapping = mappingOf({ kinds: ["name"], why });
  const { cohort } = await readText(csvOf(others), visits, { mapping });
  deepEqual(cohort.problems.map(({ rule, severity, message }) => [rule, severity, message]), [
    [
      "identifier-waived",
      "warning",
      "1 cell that could be names, which the study file says they are not",
    ],
  ]);
  // nothing is said where nothing was found
  equal((await readText(csvOf(rows), visits, { mapping })).cohort.problems.length, 0);
  // a waiver that does not hold says that it does not
  await rejects(
    readText(
      csvOf([...others, { ...others[0], id: "P14", case_seq: 14, Maker: "b@example.org" }]),
      visits,
      { mapping },
    ),
    /e-mail addresses; .*notIdentifying cannot waive this/,
  );
});

Deno.test("validate lists what was waived with its reason, and exits with a warning", async () => {
  const folder = await Deno.makeTempDir();
  try {
    const plan = { ...smallPlan, mapping: mappingOf({ kinds: ["name"], why }) };
    await Deno.writeTextFile(`${folder}/study.json`, JSON.stringify(plan));
    await Deno.writeTextFile(`${folder}/patients.csv`, csvOf(others));
    await Deno.writeTextFile(`${folder}/visits.csv`, "id,day,mr\nP0001,1,0\n");
    const validation = await validateStudy({ study: `${folder}/study.json` });
    equal(validation.code, 1);
    const html = validationHtml(validation);
    match(
      html,
      /says they are not; check its reason: makers(&#39;|&#x27;|') names, from the catalogue (&lt;|&#x3C;)1/,
    );
    ok(!html.includes("Tellurex"));
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});

Deno.test("a study file waives only with a reason, only what may be, and only in a column nothing reads", async () => {
  const refused = (mapping: unknown, pattern: RegExp) => {
    let message = "";
    try {
      parsePlan({ ...smallPlan, mapping });
    } catch (error) {
      message = String(error);
    }
    match(message, pattern);
  };
  refused(mappingOf({ kinds: ["name"] }), /Maker\.notIdentifying\.why/);
  refused(mappingOf({ kinds: ["name"], why: " " }), /Maker\.notIdentifying\.why/);
  for (const kind of ["email", "telephone", "date", "record-number", "unique-code"]) {
    refused(mappingOf({ kinds: [kind], why }), /Maker\.notIdentifying\.kinds\[0\]/);
  }
  refused(
    { patients: { EF: { column: "lvef", notIdentifying: { kinds: ["name"], why } } } },
    /mapping\.patients\.EF\.notIdentifying: is no part of the study file/,
  );
  const derived = {
    patients: [{ rule: "filled", column: "copd", sources: ["Maker"] }],
    visits: [],
  };
  await rejects(
    readText(csvOf(others), "id,day,mr\n", {
      mapping: { ...mappingOf({ kinds: ["name"], why }), derived },
    }),
    /mapping\.derived\.patients\[0\]: reads "Maker", whose identifiers are waived/,
  );
});
