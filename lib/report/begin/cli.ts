import { isAbsolute, resolve } from "node:path";
import { readingLines } from "../../cohort/file/mod.ts";
import { commandLine, messageOf } from "../../study/command-line/mod.ts";
import type { Desk } from "../../cohort/begin/mod.ts";
import { beginStudy, type Begun } from "./begin-study.ts";
import { openPage } from "./page/mod.ts";
import { terminalAnswers } from "./terminal.ts";

const usage =
  `From a centre's raw export to a study file, a clean copy of the data and a first check.

  deno task begin [--cohort FILE] [--visits FILE] [--out DIR] [--page]
                  [--answers FILE] [--no-questions]

  --cohort FILE     the export's patients table: CSV or XLSX
  --visits FILE     its echo visits table; "same" for another sheet of that workbook, "none" without
  --out DIR         a folder of its own, outside the project's data (default: out/begin)
  --page            asks on a page in your browser, by clicking, in place of here. The page is on this
                    machine alone, at an address that nobody can guess, and ends with the command
  --answers FILE    answers as JSON, by the questions' ids, in place of those kept in DIR/private
  --no-questions    asks nothing: what no answer is known for stays open, and is listed

What is beyond doubt is shown; all else is asked about. An empty answer takes the proposal, "open"
leaves it for later, "back" asks the last question again, "stop" ends for now: the same command goes
on where it ended, here or on a page. Nothing is written before you confirm what each heading becomes.
With next year's export, the same command asks about what is new, and keeps what you changed in the
study file. DIR then has

  study.json        every column of the export: mapped, left out with a reason, or open
  clean/            the data in the dictionary's columns, without identifiers
  private/          the key, surgeons' names, answers, and cells not understood. It stays with you

Exit code: 0 written and nothing open; 1 written, with something open; 2 nothing to go on with.
`;

/** Runs the command; the result is its exit code. Whatever stops it is told in words. */
async function main(args: readonly string[]): Promise<number> {
  const string = { type: "string" } as const;
  const line = commandLine(args, {
    usage,
    options: {
      cohort: string,
      visits: string,
      out: { type: "string", default: "out/begin" },
      page: { type: "boolean" },
      answers: string,
      "no-questions": { type: "boolean" },
    },
  });
  if ("code" in line) return line.code;
  const { page, out, "no-questions": silent, ...files } = line.values;
  const { progress, end } = readingLines();
  const options = { ...files, progress, out: isAbsolute(out) ? out : resolve(out) };
  if (page && silent) {
    console.error("--page asks, and --no-questions does not: give one of them");
    return 2;
  }
  try {
    const { code, lines } = page
      ? await onPage((desk) => beginStudy(options, desk))
      : await beginStudy(options, {
        answerer: silent ? () => Promise.resolve(undefined) : terminalAnswers(),
        say: console.log,
      });
    for (const text of lines) console.log(text);
    return code;
  } catch (error) {
    console.error(messageOf(error));
    return 2;
  } finally {
    end();
  }
}

/** Runs a conversation on a page, and shows there how it ended, too. */
async function onPage(converse: (desk: Desk) => Promise<Begun>): Promise<Begun> {
  const page = openPage();
  console.log(
    `Open this page in your browser; it ends with this command (Ctrl-C):\n\n  ${page.address}\n`,
  );
  try {
    const begun = await converse(page.desk);
    await page.end(begun.lines);
    return begun;
  } catch (error) {
    await page.end(["Nothing more was written.", messageOf(error)]);
    throw error;
  } finally {
    await page.close();
  }
}

if (import.meta.main) Deno.exit(await main(Deno.args));
