import { readFileText } from "../../study/file/mod.ts";
import { isAbsolute, resolve } from "node:path";
import {
  type Answerer,
  conversation,
  converse,
  pathFrom,
  Stopped,
} from "../../cohort/begin/mod.ts";
import { makeCleanCopy } from "../../cohort/mod.ts";
import { commandLine, openStudy } from "../../study/file/mod.ts";
import { projectFolder } from "../guest/mod.ts";
import { join, messageOf } from "../notebooks/mod.ts";
import { validateStudy } from "../validate/mod.ts";
import { beginLines } from "./lines.ts";
import { terminalAnswers } from "./terminal.ts";

const usage =
  `From a centre's raw export to a study file, a clean copy of the data and a first check.

  deno task begin [--cohort FILE] [--visits FILE] [--out DIR] [--answers FILE] [--no-questions]

  --cohort FILE     the export's patients table: CSV or XLSX
  --visits FILE     its echo visits table; "same" for another sheet of that workbook, "none" without
  --out DIR         a folder of its own, outside the project's data (default: out/begin)
  --answers FILE    answers as JSON, by the questions' ids, in place of those kept in DIR/private
  --no-questions    asks nothing: what no answer is known for stays open, and is listed

What is beyond doubt is shown; all else is asked about. An empty answer takes the proposal, "open"
leaves it for later, "stop" ends for now: the same command goes on where it ended. With next year's
export, the same command asks about what is new. DIR then has

  study.json        every column of the export: mapped, left out with a reason, or open
  clean/            the data in the dictionary's columns, without identifiers
  private/          the key, surgeons' names, answers, and cells not understood. It stays with you

Exit code: 0 written and nothing open; 1 written, with something open; 2 nothing written.
`;

/** Runs the command; the result is its exit code. Whatever stops it is told in words. */
async function main(args: readonly string[]): Promise<number> {
  try {
    return await begin(args);
  } catch (error) {
    console.error(messageOf(error));
    return 2;
  }
}

async function begin(args: readonly string[]): Promise<number> {
  const string = { type: "string" } as const;
  const line = commandLine(args, {
    usage,
    options: {
      cohort: string,
      visits: string,
      out: { type: "string", default: "out/begin" },
      answers: string,
      "no-questions": { type: "boolean" },
    },
  });
  if ("code" in line) return line.code;
  const { values } = line;
  const out = isAbsolute(values.out) ? values.out : resolve(values.out);
  const secret = join(out, "private");
  await Deno.mkdir(secret, { recursive: true, mode: 0o700 });
  await Deno.writeTextFile(join(secret, ".gitignore"), "*\n");
  const kept = join(secret, "answers.json");
  const before = await answersIn(values.answers ?? kept);
  const answerer: Answerer = values["no-questions"]
    ? () => Promise.resolve(undefined)
    : terminalAnswers();
  const talk = conversation(answerer, before, async (answers) => {
    await Deno.writeTextFile(kept, `${JSON.stringify(answers, null, 2)}\n`, { mode: 0o600 });
  });
  try {
    const outcome = await converse(talk, (text) => console.log(text), {
      ...(values.cohort && { cohort: values.cohort }),
      ...(values.visits && { visits: values.visits }),
      schema: pathFrom(out, join(projectFolder, "data-demo", "study.schema.json")),
    });
    await Deno.writeTextFile(
      kept,
      `${JSON.stringify({ ...talk.answers, ...filesOf(outcome) }, null, 2)}\n`,
      { mode: 0o600 },
    );
    const path = join(out, "study.json");
    await Deno.writeTextFile(path, `${JSON.stringify(outcome.study, null, 2)}\n`);
    const study = await openStudy(path);
    if (outcome.needed.length > 0) {
      console.error(
        `\nWritten to ${path}, but the export has nothing for ${
          outcome.needed.join(", ")
        }: every ` +
          "patient must have these. Name their columns and run the same command again.",
      );
      return 2;
    }
    const copy = await makeCleanCopy({
      study,
      cohort: outcome.cohort,
      ...(outcome.visits !== null && { visits: outcome.visits }),
      privateFolder: secret,
    });
    const validation = await validateStudy({ study: path });
    for (const text of beginLines({ copy, study, validation, talk, path, secret })) {
      console.log(text);
    }
    const open = Object.values({ ...study.mapping.patients, ...study.mapping.visits })
      .some((source) => typeof source === "object" && "open" in source);
    return talk.open.length > 0 || open || validation.counts.structural > 0 ? 1 : 0;
  } catch (error) {
    if (!(error instanceof Stopped)) throw error;
    console.log(`\nStopped. ${talk.given} answers are kept; the same command goes on from there.`);
    return 2;
  }
}

function filesOf({ cohort, visits }: { cohort: string; visits: string | null }) {
  return { "files.cohort": cohort, "files.visits": visits === null ? "none" : visits };
}

async function answersIn(path: string): Promise<Record<string, string>> {
  let text: string;
  try {
    text = await readFileText(path);
  } catch (error) {
    if (error instanceof Deno.errors.NotFound) return {};
    throw error;
  }
  const held: unknown = JSON.parse(text);
  if (typeof held !== "object" || held === null) return {};
  return Object.fromEntries(Object.entries(held).map(([id, answer]) => [id, String(answer)]));
}

if (import.meta.main) Deno.exit(await main(Deno.args));
