import { stringify } from "csv-stringify/sync";
import { join } from "node:path";
import { deidentify, type DeidentifyOptions } from "../../lib/cohort/deidentify/deidentify.ts";
import { pseudonymizer } from "../../lib/cohort/deidentify/key.ts";
import { ProblemsError } from "../../lib/study/mod.ts";
import assert from "node:assert/strict";
import {
  cohort,
  dayOfOperation,
  inFolder,
  patients,
  type Row,
  rowsOf,
  visits,
} from "./identified-cohort.ts";

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
