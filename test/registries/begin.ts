import { join } from "node:path";
import {
  type Conversation,
  conversation,
  converse,
  type Outcome,
} from "../../lib/cohort/begin/mod.ts";
import { type CleanCopy, type Cohort, makeCleanCopy, readCohort } from "../../lib/cohort/mod.ts";
import { pseudonymizer } from "../../lib/cohort/deidentify/key.ts";
import { openStudy } from "../../lib/study/mod.ts";
import type { PersonsAnswers } from "./answers.ts";
import type { Registry } from "./invented.ts";

/** A registry taken from its files to a cohort. */
export interface Taken {
  outcome: Outcome;
  talk: Conversation;
  copy: CleanCopy;
  cohort: Cohort;
  /** Row of the cohort by the registry's record number. */
  rowOf: (number: string) => number;
  asked: string[];
}

/**
 * Takes a registry through the conversation with answers of a person, and through the clean copy.
 */
export async function takeRegistry(
  registry: Registry,
  persons: PersonsAnswers,
  use: (taken: Taken, study: string) => void | Promise<void>,
): Promise<void> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    await use(await takenInto(folder, registry, persons), join(folder, "study.json"));
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

async function takenInto(
  folder: string,
  { files, patients }: Registry,
  { start, answers }: PersonsAnswers,
): Promise<Taken> {
  for (const [name, content] of Object.entries(files)) {
    const bytes = typeof content === "string" ? new TextEncoder().encode(content) : content;
    await Deno.writeFile(join(folder, name), bytes);
  }
  const asked: string[] = [];
  // an empty answer takes the proposal, as a person would who agrees
  const talk = conversation(
    (question) => {
      asked.push(question.id);
      const answer = answers[question.id] ?? (question.proposal === undefined ? undefined : "");
      return Promise.resolve(answer);
    },
    {},
    () => Promise.resolve(),
  );
  const visits = start.visits === "same" ? "same" : join(folder, start.visits);
  const outcome = await converse(talk, () => {}, { cohort: join(folder, start.cohort), visits });
  const path = join(folder, "study.json");
  await Deno.writeTextFile(path, JSON.stringify(outcome.study, null, 2));
  const study = await openStudy(path);
  const privateFolder = join(folder, "private");
  const copy = await makeCleanCopy({
    study,
    cohort: outcome.cohort,
    ...(outcome.visits !== null && { visits: outcome.visits }),
    privateFolder,
  });
  const cohort = await readCohort(study);
  const key = Uint8Array.fromHex(
    (await Deno.readTextFile(join(privateFolder, "pseudonyms.key"))).trim(),
  );
  const numbers = patients.map(({ number }) => number);
  const names = await (await pseudonymizer(key))(numbers);
  const rows = new Map(cohort.ids.map((id, row) => [id, row]));
  const byNumber = new Map(numbers.map((number, i) => [number, rows.get(names[i] ?? "") ?? -1]));
  return { outcome, talk, copy, cohort, asked, rowOf: (number) => byNumber.get(number) ?? -1 };
}
