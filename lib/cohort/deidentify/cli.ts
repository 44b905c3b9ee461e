import { openStudy } from "../../study/file/mod.ts";
import { commandLine, taskLine } from "../../study/command-line/mod.ts";
import { readingLines } from "../file/mod.ts";
import { deidentify, type DeidentifyOptions, type TableRecord } from "./deidentify.ts";

const usage = `Writes a clean copy of a cohort's files, and a record of what was done.

  deno task deidentify --cohort FILE [--visits FILE] [--study FILE] --out DIR --key FILE
                       [--id HEADING] [--operation HEADING] [--dates ORDER]
                       [--sheet NAME] [--visits-sheet NAME]

  --cohort FILE        patients table: CSV or XLSX, gzip or not
  --visits FILE        echo visits table
  --study FILE         study file whose mapping says what the columns are. What is neither mapped
                       nor called as the dictionary calls it is dropped, and listed
  --out DIR            a new folder for the copy: patients.csv, echo-visits.csv, record.json
  --key FILE           key of the pseudonyms, outside DIR; made where there is none. Keep it where
                       the data do not go: with it, and the record numbers, patients can be found
  --id HEADING         column of record numbers, the same in both tables (default: id)
  --operation HEADING  column of the date of operation, where it cannot be told
  --sheet NAME         sheet of the patients table, in a workbook (default: the first)
  --visits-sheet NAME  sheet of the visits table, likewise
  --dates ORDER        year-first, day-first or month-first, where it cannot be told

Exit code: 0 the copy is written; 2 nothing is.
`;

/** Runs the command; the result is its exit code. */
async function main(args: readonly string[]): Promise<number> {
  const string = { type: "string" } as const;
  const line = commandLine(args, {
    usage,
    options: {
      cohort: string,
      visits: string,
      study: string,
      out: string,
      key: string,
      id: string,
      operation: string,
      dates: string,
      sheet: string,
      "visits-sheet": string,
    },
  });
  if ("code" in line) return line.code;
  const { values } = line;
  const { cohort, out, key, dates } = values;
  if (!cohort || !out || !key || !isOrder(dates)) {
    console.error(usage);
    return 2;
  }
  try {
    const headings = new Map<string, string[]>();
    const { progress, end } = readingLines();
    const record = await deidentify({
      ...values,
      plan: values.study === undefined ? undefined : await openStudy(values.study),
      dropped: (table, raw) => headings.set(table, [...headings.get(table) ?? [], raw]),
      visitsSheet: values["visits-sheet"],
      cohort,
      out,
      key,
      dates,
      progress,
    }).finally(end);
    for (const table of record.tables) {
      for (const line of linesOf(table)) console.log(line);
      const dropped = headings.get(table.file) ?? [];
      if (dropped.length > 0) console.log(`  dropped: ${dropped.join(", ")}`);
    }
    console.log(`Written to ${out}, with record.json. The key stays in ${key}.`);
    const { study } = values;
    console.log(
      "\nNext: read what was dropped and what is blank now. Name the written files in " +
        `${study ?? "a study file"}, then`,
    );
    console.log(`  ${taskLine("validate", { study: study ?? "FILE" })}`);
    return 0;
  } catch (error) {
    console.error(error instanceof Error ? error.message : String(error));
    return 2;
  }
}

/** What became of a table, for whoever keeps the files. */
function linesOf({ file, rows, columns, alone }: TableRecord): string[] {
  const lines = [`${file}: ${rows} rows`];
  for (const { column, became, what, cells, lost } of columns) {
    if (became === null || (cells === 0 && lost === undefined)) continue;
    const name = became === column ? column : `${column} -> ${became}`;
    const blank = lost === undefined ? "" : `; ${lost} filled cells are blank now`;
    lines.push(`  ${name}: ${what} (${cells === 1 ? "1 cell" : `${cells} cells`}${blank})`);
  }
  if (alone) {
    lines.push(
      `  ${alone.alone} of ${alone.patients} patients are alone in ${alone.columns.join(", ")}: ` +
        "somebody who knows these of one of them could find the row",
    );
  }
  return lines;
}

function isOrder(order: string | undefined): order is DeidentifyOptions["dates"] {
  return order === undefined || ["year-first", "day-first", "month-first"].includes(order);
}

if (import.meta.main) Deno.exit(await main(Deno.args));
