import { stringify } from "csv-stringify/sync";
import { parse } from "csv-parse/sync";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { dayOf } from "../../lib/cohort/cells/date-cell.ts";
import { deidentify, type DeidentifyOptions } from "../../lib/cohort/deidentify/deidentify.ts";
import { pseudonymizer } from "../../lib/cohort/deidentify/key.ts";
import { dateOrders, orderOfDates } from "../../lib/cohort/deidentify/plan.ts";
import { simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";
import { workbook } from "../../lib/simulate/second-centre/second-centre-workbook.ts";
import { openStudy, ProblemsError } from "../../lib/study/mod.ts";
import assert from "node:assert/strict";

type Row = Record<string, string | number>;

// Invented: the simulated cohort, with everything a hospital would add.
const cohort = simulateCohort({ seed: 5, n: 120 });
const number = new Map(cohort.patients.map(({ id }, i) => [id, `MRN${480_017 + 37 * i}`]));
const dayOfOperation = (i: number) => Date.UTC(2012, 0, 5 + 23 * i);
const written = (time: number) => {
  const date = new Date(time);
  return `${date.getUTCDate()}/${date.getUTCMonth() + 1}/${date.getUTCFullYear()}`;
};
const days = 86_400_000;
const surgeonNames = ["Dr Arthwick", "Dr Belmund", "Dr Corquist"];

const patients: Row[] = cohort.patients.map((patient, i) => {
  const { id, age, op_year: _, surgeon: __, fu_days, ...rest } = patient;
  const operation = dayOfOperation(i);
  return {
    Hospital: number.get(id) ?? "",
    "Patient name": `Thorn${"abcdefgh"[i % 8]}wick, Ar${i}`,
    "Date of birth": written(operation - 365.25 * (i === 7 ? 97 : age) * days - 40 * days),
    "Date of surgery": written(operation),
    Surgeon: surgeonNames[i % 3]!,
    "Last seen": written(operation + fu_days * days),
    Remarks: `seen by the ward sister on round ${i}, wants to be called`,
    ...rest,
    lvef: i === 3 ? "+44 20 7946 0018" : patient.lvef,
  };
});
const visits: Row[] = cohort.visits.map(({ id, day, ...rest }) => ({
  Hospital: number.get(id) ?? "",
  "Echo date": written(
    dayOfOperation(cohort.patients.findIndex((one) => one.id === id)) + day * days,
  ),
  ...rest,
}));

async function inFolder(work: (folder: string, options: DeidentifyOptions) => Promise<void>) {
  const folder = await Deno.makeTempDir();
  try {
    await Deno.writeTextFile(join(folder, "raw.csv"), stringify(patients, { header: true }));
    await Deno.writeTextFile(join(folder, "echo.csv"), stringify(visits, { header: true }));
    await work(folder, {
      cohort: join(folder, "raw.csv"),
      visits: join(folder, "echo.csv"),
      out: join(folder, "clean"),
      key: join(folder, "secret.key"),
      id: "Hospital",
    });
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

const rowsOf = async (path: string): Promise<Record<string, string>[]> =>
  parse(await Deno.readTextFile(path), { columns: true });

const refusal = async (options: DeidentifyOptions): Promise<string> => {
  const error = await deidentify(options).then(() => null, (reason) => reason);
  assert.ok(error instanceof ProblemsError, String(error));
  return error.message;
};

Deno.test("deidentify() leaves no identifier, keeps every row and every interval", async () => {
  await inFolder(async (folder, options) => {
    const record = await deidentify(options);
    const clean = await rowsOf(join(folder, "clean/patients.csv"));
    const echo = await rowsOf(join(folder, "clean/echo-visits.csv"));
    assert.deepEqual([clean.length, echo.length], [patients.length, visits.length]);
    const texts = await Promise.all(
      ["patients.csv", "echo-visits.csv", "record.json"].map((name) =>
        Deno.readTextFile(join(folder, "clean", name))
      ),
    );
    const all = texts.join("\n");
    for (const pattern of [/MRN\d/, /wick/, /Dr /, /\d\/\d/, /7946/, /ward sister/]) {
      assert.ok(!pattern.test(all), String(pattern));
    }
    // case_seq survives and names the patient in this test
    const bySequence = new Map(clean.map((row) => [Number(row.case_seq), row]));
    cohort.patients.forEach((patient, i) => {
      const row = bySequence.get(patient.case_seq);
      assert.ok(row);
      assert.equal(row["Last seen (days)"], String(patient.fu_days));
      assert.equal(row.op_year, String(new Date(dayOfOperation(i)).getUTCFullYear()));
      assert.equal(row.lvef, i === 3 ? "" : String(patient.lvef));
      assert.equal(row.age, String(i === 7 ? 90 : Math.min(90, patient.age)));
      const own = echo.filter(({ id }) => id === row.id).map((visit) => visit["Echo date (days)"]);
      const due = cohort.visits.filter(({ id }) => id === patient.id).map(({ day }) => String(day));
      assert.deepEqual(own, due);
    });
    assert.ok(clean.every(({ Surgeon }) => /^S[123]$/.test(Surgeon ?? "")));
    const order = clean.map(({ id }) => id ?? "");
    assert.deepEqual(order, [...order].sort());
    assert.equal(record.dates, "day-first");
    const what = Object.fromEntries(
      record.tables[0]?.columns.map((column) => [column.column, column.what]) ?? [],
    );
    assert.equal(what["Patient name"], "dropped: names");
    assert.equal(what.Remarks, "dropped: free text");
    assert.match(what.lvef ?? "", /others blanked/);
    const lvef = record.tables[0]?.columns.find(({ column }) => column === "lvef");
    assert.equal(lvef?.lost, 1);
    const told = record.tables[0]?.alone;
    assert.deepEqual(told?.columns, ["age", "sex", "op_year", "intended"]);
    assert.equal(told?.patients, clean.length);
    assert.deepEqual(JSON.parse(texts[2] ?? ""), record);
  });
});

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

// By hand: a surname that half the rows have is no rare value.
Deno.test("deidentify() replaces surgeons' surnames however often they occur, and leaves codes", async () => {
  const copyOf = async (names: string[]) => {
    let column: string[] = [];
    await inFolder(async (folder, { visits: _, ...options }) => {
      const rows = Array.from({ length: 40 }, (_, i) => `${100 + i},${names[i % 2]},${40 + i}`);
      await Deno.writeTextFile(options.cohort, `id,surgeon,age\n${rows.join("\n")}\n`);
      await deidentify({ ...options, id: "id" });
      const clean = await rowsOf(join(folder, "clean/patients.csv"));
      column = [...new Set(clean.map(({ surgeon }) => surgeon ?? ""))].sort();
    });
    return column;
  };
  assert.deepEqual(await copyOf(["Arthwick", "Belmund"]), ["S1", "S2"]);
  assert.deepEqual(await copyOf(["S7", "unknown"]), ["S7", "unknown"]);
});

Deno.test("deidentify() gives a patient the same pseudonym with the same key, and only with it", async () => {
  await inFolder(async (folder, options) => {
    await deidentify(options);
    await deidentify({ ...options, out: join(folder, "again") });
    await deidentify({ ...options, out: join(folder, "other"), key: join(folder, "other.key") });
    const of = (out: string) => Deno.readTextFile(join(folder, out, "patients.csv"));
    assert.equal(await of("clean"), await of("again"));
    const ids = (await rowsOf(join(folder, "clean/patients.csv"))).map(({ id }) => id);
    const others = new Set((await rowsOf(join(folder, "other/patients.csv"))).map(({ id }) => id));
    assert.ok(ids.every((id) => !others.has(id)));
    if (Deno.build.os !== "windows") {
      assert.equal((await Deno.stat(options.key)).mode! & 0o077, 0);
    }
  });
});

Deno.test("pseudonymizer() writes HMAC-SHA-256 in consonants, as another implementation has it", async () => {
  // Source: an independent implementation (node:crypto) of the same message and key
  const { createHmac } = await import("node:crypto");
  const key = new Uint8Array(32).fill(7);
  const digest = createHmac("sha256", key).update("mitral patient A 17").digest("hex");
  let number = BigInt(`0x${digest}`);
  let expected = "";
  for (let k = 0; k < 14; k++) {
    expected += "bcdfghjkmnpqrstvwxz"[Number(number % 19n)];
    number /= 19n;
  }
  assert.deepEqual(await (await pseudonymizer(key))([" A 17 "]), [expected]);
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

Deno.test("deidentify() refuses a key that would travel with the data", async () => {
  await inFolder(async (folder, options) => {
    const inside = await refusal({ ...options, key: join(folder, "clean", "k.key") });
    assert.match(inside, /the key file lies in the output folder/);
    const roundabout = join(folder, "clean", "..", "clean", "deep", "k.key");
    assert.match(await refusal({ ...options, key: roundabout }), /lies in the output folder/);
    await Deno.mkdir(join(folder, "clean"));
    await Deno.symlink(join(folder, "clean"), join(folder, "link"));
    const linked = await refusal({ ...options, key: join(folder, "link", "k.key") });
    assert.match(linked, /lies in the output folder/);
    assert.deepEqual([...Deno.readDirSync(join(folder, "clean"))], []);
    await Deno.writeTextFile(options.key, "short");
    assert.match(await refusal(options), /holds no key/);
  });
});

Deno.test("deidentify() writes nothing where it cannot tell what a column holds", async () => {
  await inFolder(async (folder, options) => {
    const write = (rows: Row[]) =>
      Deno.writeTextFile(join(folder, "raw.csv"), stringify(rows, { header: true }));
    assert.match(await refusal({ ...options, id: "id" }), /say which one with --id/);
    await write(patients.map((row) => ({ ...row, "Date of operation": row["Date of surgery"]! })));
    assert.match(await refusal(options), /2 columns could hold the date of operation/);
    await write(patients.map(({ "Date of surgery": _, ...row }) => row));
    assert.match(await refusal(options), /no column holds its date/);
    // 3/4/2012 and the like only: April or March?
    const either = patients.map(({ "Date of birth": _, "Last seen": __, ...row }, i) => ({
      ...row,
      "Date of surgery": `${1 + i % 12}/${1 + (i + 3) % 12}/2012`,
    }));
    await write(either);
    const message = await refusal({ ...options, visits: undefined });
    assert.match(message, /whether the day or the month comes first/);
    assert.ok(!/2012|MRN/.test(message));
    await assert.rejects(Deno.stat(options.out), Deno.errors.NotFound);
  });
});

Deno.test("deidentify() does not write into a folder that holds something", async () => {
  await inFolder(async (_, options) => {
    await deidentify(options);
    assert.match(await refusal(options), /the folder is not empty/);
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
