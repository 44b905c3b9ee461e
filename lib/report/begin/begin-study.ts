import {
  type Conversation,
  conversation,
  converse,
  type Desk,
  type Outcome,
  Stopped,
} from "../../cohort/begin/mod.ts";
import type { ReadingProgress } from "../../cohort/file/mod.ts";
import { makeCleanCopy } from "../../cohort/deidentify/mod.ts";
import { openStudy, readFileText } from "../../study/file/mod.ts";
import { isJsonObject } from "../../study/problems/mod.ts";
import { projectFolder } from "../sandbox/mod.ts";
import { join } from "../notebooks/mod.ts";
import { validateStudy } from "../validate/mod.ts";
import { type Edited, withEdits } from "./keep-edits.ts";
import { beginLines, changedLines } from "./lines.ts";

/** The files of a centre's export, and where its study goes. */
export interface BeginOptions {
  cohort?: string;
  visits?: string;
  /** The study's folder. */
  out: string;
  /** File of answers in place of those kept in the folder. */
  answers?: string;
  /** Told now and then how far the reading of a table has come. */
  progress?: (progress: ReadingProgress) => void;
}

/** How it ended. */
export interface Begun {
  /** 0 written and nothing open; 1 written, with something open; 2 nothing to go on with. */
  code: 0 | 1 | 2;
  lines: string[];
}

/**
 * Takes a raw export to a study file, a clean copy and a first check, by a conversation at a desk.
 *
 * With next year's export what was answered before is not asked again. What was changed by hand in
 * the study file since it was written stays: the plan as a whole, and each changed part
 * of the mapping.
 */
export async function beginStudy(options: BeginOptions, desk: Desk): Promise<Begun> {
  const { out } = options;
  const secret = join(out, "private");
  await Deno.mkdir(secret, { recursive: true, mode: 0o700 });
  await Deno.writeTextFile(join(secret, ".gitignore"), "*\n");
  const kept = join(secret, "answers.json");
  const path = join(out, "study.json");
  const draft = join(secret, "draft.json");
  const before = await objectIn(options.answers ?? kept, "the file of answers") ?? {};
  // a file that cannot be gone on from must be known before the first question
  const present = await objectIn(path, "the study file of last time");
  const last = await objectIn(draft, "the draft of last time");
  const keep = (answers: object) => writeJson(kept, answers, { mode: 0o600 });
  const answers = Object.entries(before).map(([id, answer]) => [id, String(answer)]);
  const talk = conversation(desk.answerer, Object.fromEntries(answers), keep);
  try {
    const outcome = await converse(talk, desk.say, {
      ...(options.cohort && { cohort: options.cohort }),
      ...(options.visits && { visits: options.visits }),
      schema: "./study.schema.json",
      ...(desk.show && { show: desk.show }),
      ...(options.progress && { progress: options.progress }),
      changed: (study) => changedLines(withEdits(study, { last, present })),
    });
    await keep({ ...talk.answers, ...filesOf(outcome) });
    const edited = withEdits(outcome.study, { last, present });
    await writeJson(path, edited.study);
    await writeJson(draft, outcome.study, { mode: 0o600 });
    await Deno.copyFile(
      join(projectFolder, "data-demo", "study.schema.json"),
      join(out, "study.schema.json"),
    );
    const { progress } = options;
    return await written({ outcome, talk, path, secret, edited, ...(progress && { progress }) });
  } catch (error) {
    if (!(error instanceof Stopped)) throw error;
    return {
      code: 2,
      lines: ["", `Stopped. ${talk.given} answers are kept; the same command goes on from there.`],
    };
  }
}

async function written({ outcome, talk, path, secret, edited, ...reading }: {
  outcome: Outcome;
  talk: Conversation;
  path: string;
  secret: string;
  edited: Edited;
  progress?: BeginOptions["progress"];
}): Promise<Begun> {
  const study = await openStudy(path);
  if (outcome.needed.length > 0) {
    const lines = [
      "",
      `Written to ${path}, but the export has nothing for ${outcome.needed.join(", ")}: every ` +
      "row must have these. Run the same command again, and at its end name the headings that " +
      "are to be asked about again.",
    ];
    return { code: 2, lines };
  }
  const copy = await makeCleanCopy({
    study,
    cohort: outcome.cohort,
    ...(outcome.visits !== null && { visits: outcome.visits }),
    privateFolder: secret,
    ...reading,
  });
  const validation = await validateStudy({ study: path }, reading);
  const open = Object.values({ ...study.mapping.patients, ...study.mapping.visits })
    .some((source) => typeof source === "object" && "open" in source);
  return {
    code: talk.open.length > 0 || open || validation.counts.structural > 0 ? 1 : 0,
    lines: beginLines({
      copy,
      study,
      validation,
      talk,
      path,
      secret,
      edited,
      text: await readFileText(path),
    }),
  };
}

function filesOf({ cohort, visits }: { cohort: string; visits: string | null }) {
  return { "files.cohort": cohort, "files.visits": visits === null ? "none" : visits };
}

async function writeJson(path: string, value: unknown, options: Deno.WriteFileOptions = {}) {
  await Deno.writeTextFile(path, `${JSON.stringify(value, null, 2)}\n`, options);
}

/** The object that a JSON file has; `undefined` without a file. */
async function objectIn(path: string, what: string): Promise<Record<string, unknown> | undefined> {
  let text: string;
  try {
    text = await readFileText(path);
  } catch (error) {
    if (error instanceof Deno.errors.NotFound) return undefined;
    throw error;
  }
  try {
    const held: unknown = JSON.parse(text);
    if (isJsonObject(held)) return held;
  } catch {
    // said below
  }
  throw new Error(`Cannot read ${what}, ${path}: it is no JSON object; mend it, or move it away`);
}
