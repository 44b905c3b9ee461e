// Reading and checking 1,000,000 rows of 40 columns, against the bare parser on the same file in
// the same run: rows a second, and the peak of memory as a multiple of the file. Each is measured
// in a process of its own. Run: deno run -A test/bench/intake.bench.ts [rows]
//
// Required: at least a third of the bare parser's speed, and at most 3 times the file.
import { parse } from "csv-parse";
import { SeededRandom } from "../../lib/numerics/replicates/random.ts";
import { examineCohort } from "../../lib/cohort/mod.ts";
import { smallStudy } from "../cohort/small-cohort.ts";

interface Measured {
  rows: number;
  seconds: number;
  megabytes: number;
  problems: number;
}

/** The largest this process has been, as the kernel counts it. */
function peakMegabytes(): number {
  const status = Deno.readTextFileSync("/proc/self/status");
  return Number(/VmHWM:\s+(\d+) kB/.exec(status)?.[1]) / 1024;
}

async function bare(path: string): Promise<Measured> {
  const start = performance.now();
  let rows = -1;
  const file = await Deno.open(path);
  const parser = parse({
    on_record: () => {
      rows++;
      return null;
    },
  });
  const done = new Promise((resolve, reject) => parser.on("end", resolve).on("error", reject));
  parser.resume();
  for await (const chunk of file.readable) {
    if (!parser.write(chunk)) await new Promise((resolve) => parser.once("drain", resolve));
  }
  parser.end();
  await done;
  const seconds = (performance.now() - start) / 1000;
  return { rows, seconds, megabytes: peakMegabytes(), problems: 0 };
}

async function examined(folder: string): Promise<Measured> {
  const study = smallStudy({}, `${folder}/study.json`);
  const start = performance.now();
  const { log, problems } = await examineCohort(study);
  const seconds = (performance.now() - start) / 1000;
  const rows = log[0]?.rowsRead ?? 0;
  return { rows, seconds, megabytes: peakMegabytes(), problems: problems.length };
}

/** Repairs and replacements with measurements of the dictionary's kind; a few are improbable. */
function write(path: string, rows: number): number {
  const random = new SeededRandom(6);
  const pick = <T>(values: readonly T[]) => values[Math.floor(random.uniform() * values.length)]!;
  const whole = (low: number, high: number) =>
    low + Math.floor(random.uniform() * (high - low + 1));
  const tenth = (low: number, high: number) => (low + random.uniform() * (high - low)).toFixed(1);
  const file = Deno.openSync(path, { write: true, create: true, truncate: true });
  const encoder = new TextEncoder();
  let bytes = 0;
  const put = (text: string) => {
    const block = encoder.encode(text);
    for (let at = 0; at < block.length;) at += file.writeSync(block.subarray(at));
    bytes += block.length;
  };
  put(
    "id,op_year,case_seq,age,sex,bsa,nyha,af_pre,diabetes,prior_mi,redo,urgency,ie_active," +
      "aetiology,leaflet,mr_pre,lvef,lvedd,lvesd,tether,ipmd,ipmd_phase,approach,intended,final," +
      "convert_reason,ring_type,ring_mm,prosthesis,chordal_sparing,cabg_grafts,af_ablation," +
      "tricuspid,mr_exit,fu_days,dead,death_cause,reint,reint_day,reint_reason\n",
  );
  let block = "";
  for (let i = 0; i < rows; i++) {
    const repair = random.uniform() < 0.6;
    const ischaemic = random.uniform() < 0.4;
    const dead = random.uniform() < 0.3;
    const again = random.uniform() < 0.05;
    const year = 2005 + Math.floor(15 * i / rows);
    // to the study's close at the latest
    const days = whole(400, Math.min(6000, (2024 - year) * 365));
    block += [
      `P${String(i).padStart(8, "0")}`,
      year,
      i + 1,
      tenth(40, 88),
      pick(["F", "M"]),
      (1.5 + random.uniform()).toFixed(2),
      whole(1, 4),
      pick(["none", "paroxysmal", "persistent"]),
      whole(0, 1),
      ischaemic ? 1 : 0,
      0,
      pick(["elective", "urgent"]),
      0,
      ischaemic ? "ischaemic" : "degenerative",
      ischaemic ? "" : pick(["posterior", "anterior", "both"]),
      whole(3, 4),
      tenth(30, 76),
      tenth(50, 75),
      tenth(25, 48),
      ischaemic ? tenth(5, 15) : "",
      ischaemic ? tenth(10, 30) : "",
      ischaemic ? "systole" : "",
      "sternotomy",
      repair ? "repair" : "replacement",
      repair ? "repair" : "replacement",
      "",
      repair ? "semirigid" : "",
      repair ? pick([28, 30, 32]) : "",
      repair ? "" : "bioprosthesis",
      repair ? "" : "complete",
      whole(0, 3),
      0,
      pick(["none", "repair"]),
      whole(0, 1),
      days,
      dead ? 1 : 0,
      dead ? pick(["valve", "cardiac", "noncardiac"]) : "",
      again ? 1 : 0,
      again ? whole(30, 400) : "",
      again ? "MR" : "",
    ].join(",") + "\n";
    if (block.length < 4e6 && i < rows - 1) continue;
    put(block);
    block = "";
  }
  file.close();
  return bytes;
}

const [first = "1000000", folder = ""] = Deno.args;
if (first === "bare" || first === "examined") {
  const measured = first === "bare" ? await bare(`${folder}/patients.csv`) : await examined(folder);
  console.log(JSON.stringify(measured));
} else {
  const rows = Number(first);
  const folder = await Deno.makeTempDir();
  try {
    const bytes = write(`${folder}/patients.csv`, rows);
    await Deno.writeTextFile(`${folder}/visits.csv`, "id,day,mr\n");
    const megabytes = bytes / 2 ** 20;
    const run = async (what: string): Promise<Measured> => {
      const { code, stdout, stderr } = await new Deno.Command(Deno.execPath(), {
        args: ["run", "-A", new URL(import.meta.url).pathname, what, folder],
      }).output();
      if (code !== 0) throw new Error(new TextDecoder().decode(stderr));
      const measured: Measured = JSON.parse(new TextDecoder().decode(stdout));
      if (measured.rows !== rows) throw new Error(`${what} saw ${measured.rows} rows of ${rows}`);
      return measured;
    };
    const results = { bare: await run("bare"), examined: await run("examined") };
    console.table(Object.fromEntries(
      Object.entries(results).map(([what, { seconds, megabytes: peak, problems }]) => [what, {
        "rows a second": Math.round(rows / seconds),
        seconds: Number(seconds.toFixed(2)),
        "share of bare speed": Number((results.bare.seconds / seconds).toFixed(2)),
        "peak MB": Math.round(peak),
        "times the file": Number((peak / megabytes).toFixed(2)),
        problems,
      }]),
    ));
    console.log(`${rows} rows of 40 columns, ${megabytes.toFixed(0)} MB`);
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}
