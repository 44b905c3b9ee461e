import { equal, ok } from "node:assert/strict";
import { parse } from "csv-parse/sync";
import { stringify } from "csv-stringify/sync";
import { gzipSync } from "fflate";
import { SeededRandom } from "../../lib/numerics/mod.ts";
import { examineCohort, selectEligible, summariseProblems } from "../../lib/cohort/mod.ts";
import { openStudy, ProblemsError } from "../../lib/study/mod.ts";
import { validationCsv } from "../../lib/report/validate/csv.ts";
import { validationHtml } from "../../lib/report/validate/html.ts";
import { validateStudy } from "../../lib/report/validate/validation.ts";
import { csvOf, patientsOf, replaced, smallPlan } from "../cohort/small-cohort.ts";
import { workbook } from "../damaged/workbook.ts";
import { mutatedBytes, mutatedJson, mutatedTable } from "./mutate.ts";

/** What became of the files of a run. */
export interface FuzzCounts {
  files: number;
  /** Read and analysed. */
  analysed: number;
  /** Read, with something that stops a run. */
  stopped: number;
  /** Study files that were refused. */
  refused: number;
  slowestSeconds: number;
}

const encoder = new TextEncoder();
const patients = csvOf(patientsOf([{}, { lvef: 80 }, { ...replaced }, { fu_days: 30 }]));
const visits = "id,day,mr,lvef\nP0001,40,0,55\nP0001,400,1,57\nP0003,30,0,60\n";
const rowsOf = (text: string): string[][] => parse(text);
const plan = {
  ...smallPlan,
  eligibility: [{ id: "redo", reason: "redo", column: "redo", exclude: { oneOf: [1] } }],
  mapping: {
    patients: {
      EF: { column: "lvef", unit: "fraction", missing: [-9] },
      sex: { column: "sex", codes: { w: "F", m: "M" } },
      remark: { ignore: "not needed" },
    },
    missing: ["NK"],
    derived: {
      patients: [{ rule: "days-between", column: "fu_days", from: "a", to: ["b", "c"] }],
      visits: [],
    },
  },
};

/**
 * Mutates sound files and study files, and reads each as a user would.
 *
 * Holds of every one: reading ends, within the time allowed, in a result or in a list of problems;
 * no message has a stack or a folder in it; each row is read, kept or set aside, and analysed or
 * excluded; what is read is as many rows as the parser itself counts; the page and the CSV of
 * problems hold no markup or formula of the file's.
 */
export async function fuzz(runs: number, seed: number): Promise<FuzzCounts> {
  const folder = await Deno.makeTempDir();
  const counts = { files: 0, analysed: 0, stopped: 0, refused: 0, slowestSeconds: 0 };
  const parent = new SeededRandom(seed);
  try {
    for (let run = 0; run < runs; run++) {
      const start = performance.now();
      try {
        await one(folder, parent.fork(run), counts);
      } catch (error) {
        throw new Error(`run ${run} of seed ${seed} failed`, { cause: error });
      }
      const seconds = (performance.now() - start) / 1000;
      ok(seconds < 10, `run ${run} of seed ${seed} took ${seconds} s`);
      counts.slowestSeconds = Math.max(counts.slowestSeconds, seconds);
      counts.files++;
    }
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
  return counts;
}

async function one(folder: string, random: SeededRandom, counts: FuzzCounts): Promise<void> {
  const draw = random.uniform();
  const ofStudy = draw < 0.25;
  const study: unknown = draw < 0.15 ? mutatedJson(plan, random) : smallPlan;
  let text: string | Uint8Array = JSON.stringify(study);
  if (ofStudy && draw >= 0.15) text = mutatedBytes(encoder.encode(JSON.stringify(plan)), random);
  await write(`${folder}/study.json`, text);
  const ofVisits = !ofStudy && random.uniform() < 0.3;
  await write(`${folder}/patients.csv`, ofStudy || ofVisits ? patients : damaged(patients, random));
  await write(`${folder}/visits.csv`, ofVisits ? damaged(visits, random) : visits);
  try {
    const opened = await openStudy(`${folder}/study.json`);
    const examination = await examineCohort(opened);
    for (const { rowsRead, rowsKept, rowsSetAside } of examination.log) {
      equal(rowsKept + rowsSetAside, rowsRead);
    }
    await checkRows(`${folder}/patients.csv`, examination, "patients");
    await checkRows(`${folder}/visits.csv`, examination, "visits");
    checkMessage(
      summariseProblems(examination.problems).map(({ what }) => what).join("\n"),
      folder,
    );
    const cohort = examination.cohort?.();
    if (cohort) {
      const analysis = selectEligible(cohort, opened);
      equal(analysis.n + analysis.excluded.length, cohort.n);
      equal(cohort.n, examination.log[0]?.rowsRead);
      counts.analysed++;
    } else counts.stopped++;
  } catch (error) {
    if (!(error instanceof ProblemsError)) throw error;
    checkMessage(error.message, folder);
    counts.refused++;
  }
  if (random.uniform() < 0.1) await checkPages(folder);
}

async function checkPages(folder: string): Promise<void> {
  const validation = await validateStudy({ study: `${folder}/study.json` });
  const html = validationHtml(validation);
  ok(!/<script|<img|onerror=(?!alert\(1\)&gt;)/i.test(html), "the page has markup of the file's");
  const csv: string[][] = parse(validationCsv(validation));
  const formula = csv.flat().find((cell) => /^\s*[=@+]|^-[^\d.]/.test(cell));
  equal(formula, undefined);
}

type Examined = Awaited<ReturnType<typeof examineCohort>>;

/** As many rows as the parser counts, where the file was read to its end. */
async function checkRows(
  path: string,
  { log, problems }: Examined,
  table: "patients" | "visits",
): Promise<void> {
  const entry = log.find((one) => one.table === table);
  const { format } = entry ?? {};
  if (!format || format.kind !== "csv" || format.compressed || !format.delimiter) return;
  if (problems.some((problem) => problem.table === table && problem.rule === "file")) return;
  const text = new TextDecoder(format.encoding ?? "utf-8").decode(await Deno.readFile(path));
  const rows: string[][] = parse(text, {
    delimiter: format.delimiter,
    record_delimiter: ["\r\n", "\n", "\r"],
    bom: true,
    relax_column_count: true,
    skip_empty_lines: true,
    skip_records_with_empty_values: true,
    from_line: /^"?sep=/i.test(text) ? 2 : 1,
  });
  equal(entry?.rowsRead, Math.max(0, rows.length - 1));
}

function checkMessage(message: string, folder: string): void {
  ok(!/\n\s+at /.test(message), "a stack trace is shown");
  ok(!message.includes(folder), "a folder is shown");
  ok(message.length < 200_000, "a message without end");
}

/** A sound table, damaged and written in one of the ways that are read. */
function damaged(text: string, random: SeededRandom): Uint8Array {
  const way = random.uniform();
  const rows = random.uniform() < 0.6 ? mutatedTable(rowsOf(text), random) : rowsOf(text);
  const delimiter = way < 0.2 ? ";" : way < 0.3 ? "\t" : ",";
  let bytes: Uint8Array = encoder.encode(stringify(rows, { delimiter }));
  if (way > 0.9) {
    bytes = workbook(rows.map((row) => row.map((cell) => cell.replace(/[^\x20-\x7e]/g, "?"))));
  } else if (way > 0.8) bytes = gzipSync(bytes);
  return random.uniform() < 0.6 ? mutatedBytes(bytes, random) : bytes;
}

async function write(path: string, content: string | Uint8Array): Promise<void> {
  if (typeof content === "string") await Deno.writeTextFile(path, content);
  else await Deno.writeFile(path, content);
}
