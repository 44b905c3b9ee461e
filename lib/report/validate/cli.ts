import { readingLines } from "../../cohort/file/mod.ts";
import { commandLine, messageOf, studyOptions, taskLine } from "../../study/command-line/mod.ts";
import { whereOf } from "./file-heading.ts";
import { validateStudy, type Validation } from "./validation.ts";
import type { ToWrite } from "./what-to-write.ts";
import { costsInWords } from "./costs-in-words.ts";
import { validationCsv } from "./csv.ts";
import { validationHtml, verdict } from "./html.ts";
import { join } from "../notebooks/mod.ts";

const usage = `Checks a study file and its tables, and lists everything that is wrong.

  deno task validate [--study FILE] [--cohort FILE] [--visits FILE] [--out DIR]

  --study FILE      study file (default: data-demo/study.json)
  --cohort FILE     patients table, in place of the one the study file names
  --visits FILE     echo visits table, in place of the one the study file names
  --out DIR         where validation.html and validation.csv go (default: out/validation)

Exit code: 0 nothing is wrong; 1 warnings; 2 errors.
`;

/** Runs the command; the result is its exit code. */
async function main(args: readonly string[]): Promise<number> {
  const line = commandLine(args, {
    usage,
    options: {
      ...studyOptions,
      out: { type: "string", default: "out/validation" },
    },
  });
  if ("code" in line) return line.code;
  const { out, study, cohort, visits } = line.values;
  const paths = { study, cohort, visits };
  const { progress, end } = readingLines();
  const validation = await validateStudy(paths, { progress }).finally(end);
  try {
    await Deno.mkdir(out, { recursive: true });
    await Deno.writeTextFile(join(out, "validation.html"), validationHtml(validation));
    await Deno.writeTextFile(join(out, "validation.csv"), validationCsv(validation));
  } catch {
    console.error(`Cannot write to ${out}: choose a folder that may be written with --out`);
    return 2;
  }
  for (const group of validation.groups) {
    const { severity, message, remedy, count, places, costs } = group;
    const where = whereOf(group);
    const line = places[0]?.line;
    const at = line ? `, ${count > 1 ? "first on " : ""}line ${line}` : "";
    console.log(
      `${severity.padEnd(10)} ${where} (${count}${at}): ${message}; ${remedy}${
        costs ? ` [costs ${costsInWords(costs)}]` : ""
      }`,
    );
    for (const write of group.write ?? []) console.log(writeLine(write));
  }
  for (const line of foretoldLines(validation.foretold)) console.log(line);
  console.log(`\n${verdict(validation)}`);
  console.log(`Listed in ${join(out, "validation.html")} and validation.csv`);
  for (const line of nextLines(validation.code, paths)) console.log(line);
  return validation.code;
}

/** What to write in the study file, and where. */
function writeLine({ what, part, line, json }: ToWrite): string {
  return `           ${what}, write in ${part}, line ${line}: ${json}`;
}

/** What to do next. */
function nextLines(
  code: Validation["code"],
  paths: { study?: string; cohort?: string; visits?: string },
): string[] {
  if (code === 2) {
    return ["\nNext: mend each error, then", `  ${taskLine("validate", paths)}`];
  }
  return [
    "\nNext: date the plan before outcomes are seen, then make the report",
    `  ${taskLine("plan", { ...paths, lock: true })}`,
    `  ${taskLine("report", paths)}`,
  ];
}

/** What is limited or absent, part by part of the plan, and how much is as planned. */
function foretoldLines(foretold: Validation["foretold"]): string[] {
  if (foretold.length === 0) return [];
  const short = foretold.filter(({ verdict }) => verdict !== "shown");
  return [
    "\nWhat the report will be able to show of the plan:",
    ...short.flatMap(({ verdict, where, what, found, write }) => [
      `${verdict.padEnd(10)} ${where}: ${what} (${found})`,
      ...(write ? [writeLine(write)] : []),
    ]),
    `${"as planned".padEnd(10)} ${foretold.length - short.length} of ${foretold.length} parts`,
  ];
}

if (import.meta.main) {
  let code: number;
  try {
    code = await main(Deno.args);
  } catch (error) {
    console.error(`Cannot check the files: ${messageOf(error)}`);
    code = 2;
  }
  Deno.exit(code);
}
