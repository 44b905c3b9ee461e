import { deepEqual, equal, ok } from "node:assert/strict";
import { gzipSync } from "fflate";
import { type Cohort, examineCohort, numericColumn, textColumn } from "../../../lib/cohort/mod.ts";
import { numberOf } from "../../../lib/cohort/cells/number-cell.ts";
import { findDecimal, findDelimiter } from "../../../lib/cohort/file/sniff.ts";
import { workbook } from "../../damaged/workbook.ts";
import { csvOf, patientsOf, readText, replaced, smallStudy } from "../small-cohort.ts";
import fc from "fast-check";

// All expectations by hand: however the same table is written, it is the same cohort.
const noVisits = "id,day,mr\n";
const rows = patientsOf([{ age: 61.5 }, { sex: "", lvef: "" }, { ...replaced, age: 70.25 }]);
const plain = csvOf(rows);
const table = plain.trim().split("\n").map((line) => line.split(","));
const encoder = new TextEncoder();

function utf16(text: string, mark: boolean, big = false): Uint8Array {
  const units = (mark ? "\uFEFF" : "") + text;
  const bytes = new Uint8Array(2 * units.length);
  const view = new DataView(bytes.buffer);
  for (let i = 0; i < units.length; i++) view.setUint16(2 * i, units.charCodeAt(i), !big);
  return bytes;
}

async function sameAsPlain(content: string | Uint8Array): Promise<Cohort> {
  const { cohort } = await readText(content, noVisits);
  const { cohort: wanted } = await readText(plain, noVisits);
  // as plain arrays: two missing values are the same missing value
  for (const [name, column] of Object.entries(wanted.columns)) {
    deepEqual([...cohort.columns[name] ?? []], [...column], name);
  }
  deepEqual(Object.keys(cohort.columns).sort(), Object.keys(wanted.columns).sort());
  deepEqual(cohort.ids, wanted.ids);
  return cohort;
}

Deno.test("readCohort() reads commas, semicolons and tabs, with points or commas for decimals", async () => {
  await sameAsPlain(plain.replaceAll(",", ";"));
  await sameAsPlain(plain.replaceAll(",", "\t"));
  await sameAsPlain(`sep=;\r\n${plain.replaceAll(",", ";")}`);
  const semicolons = plain.replaceAll(",", ";").replaceAll(".", ",");
  const cohort = await sameAsPlain(semicolons);
  deepEqual([...numericColumn(cohort, "age")], [61.5, 60, 70.25]);
  equal(cohort.log[0]?.format?.decimal, ",");
  await sameAsPlain(plain.replace("61.5", '"61,5"').replace("70.25", '"70,25"'));
});

Deno.test("readCohort() reads UTF-8, UTF-16 and Windows-1252, line ends of either kind", async () => {
  await sameAsPlain(`\uFEFF${plain}`);
  await sameAsPlain(plain.replaceAll("\n", "\r\n"));
  for (const big of [false, true]) {
    for (const mark of [false, true]) await sameAsPlain(utf16(plain, mark, big));
  }
  // é is E9 in Windows-1252, a byte that no UTF-8 text has before a comma
  const text = plain.replaceAll("urgency", "priorit_").replaceAll("elective", "choisi_");
  const western = encoder.encode(text).map((byte) => byte === 95 ? 0xe9 : byte);
  const restored = text.replaceAll("_", "é");
  const mapping = {
    patients: Object.fromEntries(
      table[0]?.filter((name) => name.includes("_")).map((
        name,
      ) => [name.replaceAll("_", "é"), name]) ??
        [],
    ),
  };
  const changes = {
    mapping: {
      patients: {
        ...mapping.patients,
        "priorité": { column: "urgency", codes: { "choisié": "elective" } },
      },
    },
  };
  for (const content of [western, restored]) {
    const { cohort } = await readText(content, noVisits, changes);
    equal(textColumn(cohort, "urgency")[0], "elective");
  }
});

Deno.test("readCohort() reads gzip and XLSX, and what a workbook leaves out at the end of a row", async () => {
  await sameAsPlain(gzipSync(encoder.encode(plain)));
  // several compressed pieces in a row are one file
  const pieces = [plain.slice(0, 40), plain.slice(40, 41), plain.slice(41)];
  const members = pieces.flatMap((piece) => [...gzipSync(encoder.encode(piece))]);
  await sameAsPlain(Uint8Array.from(members));
  const book = workbook(
    table.map((row, i) =>
      row.map((text) => i > 0 && /^\d+(\.\d+)?$/.test(text) ? Number(text) : text)
    ),
  );
  const cohort = await sameAsPlain(book);
  equal(cohort.log[0]?.format?.kind, "xlsx");
  await sameAsPlain(gzipSync(book));
});

Deno.test("readCohort() keeps a newline inside quotation marks within its row", async () => {
  const text = plain.replace("rigid", '"ri\ngid"');
  const folder = await Deno.makeTempDir();
  try {
    const study = smallStudy({}, `${folder}/study.json`);
    await Deno.writeTextFile(study.cohortPath, text);
    await Deno.writeTextFile(study.visitsPath, noVisits);
    const { log, problems } = await examineCohort(study);
    equal(log[0]?.rowsRead, 3);
    // the row ends on line 3
    ok(problems.every(({ line }) => line === 3), JSON.stringify(problems));
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
});

Deno.test("readCohort() names the same line whatever ends it, also where both kinds stand", async () => {
  const text = csvOf(patientsOf([{}, {}, { lvef: 90 }]));
  const mixed = text.replace("\n", "\r\n");
  for (const content of [text, text.replaceAll("\n", "\r\n"), text.replaceAll("\n", "\r"), mixed]) {
    const { cohort } = await readText(content, noVisits);
    deepEqual(cohort.problems.map(({ line, row }) => [line, row]), [[4, 2]]);
  }
});

Deno.test("readCohort() takes a long series for what it is, not for record numbers", async () => {
  const long = patientsOf([{}, {}, {}, {}]).map((row, i) => ({ ...row, case_seq: 30_000 + i }));
  const { cohort } = await readText(csvOf(long), noVisits);
  deepEqual(cohort.problems, []);
});

Deno.test("findDelimiter() counts outside quotation marks only", () => {
  equal(findDelimiter('a;"b,c,d,e";f\n1;2;3'), ";");
  equal(findDelimiter("\n\na\tb\tc\n"), "\t");
  equal(findDelimiter("a\n1,2,3,4\n"), ",");
  equal(findDelimiter("sep=\t\na,b,c\n"), "\t");
  equal(findDelimiter("Registry, invented, today\na;b;c\n1,5;2,5;3\n2,5;1,5;3\n"), ";");
  equal(findDelimiter('a,b,c\n1,"x;y",2\n1,x;y,2\n'), ",");
});

Deno.test("findDecimal() needs a comma that cannot be a thousand's, and no point", () => {
  equal(findDecimal("a;b\n1,5;2\n", ";"), ",");
  equal(findDecimal("a;b\n1,500;2\n", ";"), ".");
  equal(findDecimal("a;b\n1,5;2.5\n", ";"), ".");
  equal(findDecimal("a;b\n1,5;2.500\n", ";"), ",");
  equal(findDecimal("a;b\n1,5;0.250\n", ";"), ".");
  equal(findDecimal('a,b\n"1,5",2\n', ","), ",");
});

// Identity: the parts put together are the number that the language itself reads.
Deno.test("numberOf() agrees with Number() on decimal numerals, and refuses all else", () => {
  fc.assert(
    fc.property(
      fc.integer({ min: -(10 ** 15), max: 10 ** 15 }),
      fc.integer({ min: 0, max: 15 }),
      (digits, decimals) => {
        const sign = digits < 0 ? "-" : "";
        const text = String(Math.abs(digits)).padStart(decimals + 1, "0");
        const numeral = decimals === 0
          ? sign + text
          : `${sign}${text.slice(0, -decimals)}.${text.slice(-decimals)}`;
        ok(Object.is(numberOf(numeral, 46), Number(numeral)), numeral);
        ok(Object.is(numberOf(numeral.replace(".", ","), 44), Number(numeral)), numeral);
      },
    ),
    { seed: 6, numRuns: 2000 },
  );
  for (
    const text of ["", ".", "-", "+", "1.2.3", "0x1f", "Infinity", "1 000", "12a", "--1", "1,5"]
  ) {
    ok(Number.isNaN(numberOf(text, 46)), text);
  }
  deepEqual([".5", "5.", "1e3", "+7"].map((text) => numberOf(text, 46)), [0.5, 5, 1000, 7]);
});
