import { createHash } from "node:crypto";
import { deserialize, serialize } from "node:v8";
import type { Analysis } from "../model/mod.ts";

/** What was worked out of one analysis. */
interface Answers {
  /** In an earlier run. */
  before: ReadonlyMap<string, unknown>;
  /** In this one. */
  made: Map<string, unknown>;
}

/** Whose answers are kept, and what stands before their names. */
const known = new WeakMap<Analysis, { answers: Answers; of: string }>();
let ofRun: Answers | undefined;

/**
 * Has answers about a run's own analysis kept from run to run. Only a runner asks for it, and only
 * for a notebook whose code cannot write into what it is handed: an answer then follows from the
 * study, its tables and the library alone, which are the same to the byte in the earlier run.
 *
 * @param before What {@link newAnswers} gave in that run; nothing where there is none.
 */
export function keepAnswers(analysis: Analysis, before: Uint8Array): void {
  ofRun = { before: readAnswers(before), made: new Map() };
  known.set(analysis, { answers: ofRun, of: "" });
}

/**
 * An answer as an earlier run worked it out, or worked out now.
 *
 * @param name With the analysis, all that it follows from.
 * @param make Gives plain data: numbers, text, columns, lists and records of these.
 */
export function keptAnswer<Answer>(analysis: Analysis, name: string, make: () => Answer): Answer {
  const found = known.get(analysis);
  if (!found) return make();
  const { answers: { before, made }, of } = found;
  const key = `${of}${name}`;
  const kept = made.get(key) ?? before.get(key);
  if (kept !== undefined) return kept as Answer;
  const answer = make();
  made.set(key, answer);
  return answer;
}

/** Has answers about some of an analysis's patients kept where those about all are. */
export function keepAnswersAmong(part: Analysis, whole: Analysis, rows: Int32Array): void {
  const found = known.get(whole);
  if (!found || part === whole) return;
  const hash = createHash("sha256").update(
    new Uint8Array(rows.buffer, rows.byteOffset, rows.byteLength),
  );
  known.set(part, { answers: found.answers, of: `${found.of}${hash.digest("hex")} ` });
}

/** Columns as a part of an answer's name. */
export function nameOfColumns(
  columns: readonly (Float64Array | Uint8Array | Int32Array)[],
): string {
  const hash = createHash("sha256");
  for (const { buffer, byteOffset, byteLength } of columns) {
    hash.update(`${byteLength} `).update(new Uint8Array(buffer, byteOffset, byteLength));
  }
  return hash.digest("hex");
}

/** What was worked out that was not kept before, for the next run; nothing where nothing was. */
export function newAnswers(): Uint8Array | undefined {
  if (!ofRun || ofRun.made.size === 0) return undefined;
  return serialize(new Map([...ofRun.before, ...ofRun.made]));
}

/** What cannot be read is as if it were not there. */
function readAnswers(bytes: Uint8Array): ReadonlyMap<string, unknown> {
  if (bytes.length === 0) return new Map();
  try {
    const told: unknown = deserialize(bytes);
    return told instanceof Map ? told : new Map();
  } catch {
    return new Map();
  }
}
