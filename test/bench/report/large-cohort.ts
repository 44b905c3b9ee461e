// A large invented cohort in the demonstration's columns. Run:
//   deno run -A --v8-flags=--max-old-space-size=16000 \
//     test/bench/report/large-cohort.ts PATIENTS FOLDER
// Of the visits drawn a share is written, so that there are about four a patient.
import { simulateCohort } from "../../../lib/simulate/mod.ts";
import { SeededRandom } from "../../../lib/numerics/mod.ts";

const visitsKept = 4 / 5.6;

/** Writes a table as comma-separated values, some rows at a time. */
function writeTable(path: string, rows: readonly object[]): void {
  const columns = Object.keys(rows[0] ?? {});
  const encoder = new TextEncoder();
  using file = Deno.openSync(path, { write: true, create: true, truncate: true });
  const write = (text: string) => {
    const bytes = encoder.encode(text);
    for (let sent = 0; sent < bytes.length;) sent += file.writeSync(bytes.subarray(sent));
  };
  write(`${columns.join(",")}\n`);
  for (let from = 0; from < rows.length; from += 10_000) {
    write(
      rows.slice(from, from + 10_000).map((row) => `${Object.values(row).join(",")}\n`).join(""),
    );
  }
}

/** Draws a cohort and writes its two tables, `patients.csv` and `visits.csv`, into a folder. */
export function writeLargeCohort(n: number, folder: string): { patients: number; visits: number } {
  const { patients, visits } = simulateCohort({ seed: 15, n });
  const random = new SeededRandom(15);
  const kept = visits.filter(() => random.uniform() < visitsKept);
  Deno.mkdirSync(folder, { recursive: true });
  writeTable(`${folder}/patients.csv`, patients);
  writeTable(`${folder}/visits.csv`, kept);
  return { patients: patients.length, visits: kept.length };
}

if (import.meta.main) {
  const [n, folder] = Deno.args;
  console.log(writeLargeCohort(Number(n), folder ?? "."));
}
