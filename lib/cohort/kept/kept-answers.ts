import { createHash } from "node:crypto";
import { deserialize, serialize } from "node:v8";
import type { Analysis } from "../model/mod.ts";

/** What was worked out from one study, by name. */
interface Answers {
  /** In an earlier run. */
  before: ReadonlyMap<string, unknown>;
  /** In this one. */
  made: Map<string, unknown>;
}

/** Of the run that this process is of; nothing where none are kept. */
let ofRun: Answers | undefined;
/** Analyses of the run's own patients, and what stands before the names of answers about them. */
const known = new WeakMap<Analysis, string>();

/**
 * Has what is worked out from a run's own analysis kept from run to run. Only a runner asks for it,
 * and only for a notebook whose code cannot write into what it is handed: answers then follow from
 * the study, its tables and the library alone, which are the same to the byte in the earlier run.
 *
 * @param before What {@link newAnswers} gave in that run; empty where there is none.
 */
export function keepAnswers(analysis: Analysis, before: Uint8Array): void {
  ofRun = { before: readAnswers(before), made: new Map() };
  known.set(analysis, "");
}

/** Has answers about some of an analysis's patients kept where those about all are. */
export function keepAnswersAmong(part: Analysis, whole: Analysis, rows: Int32Array): void {
  const of = known.get(whole);
  if (of !== undefined && part !== whole) known.set(part, `${of}${hashOf([rows])} `);
}

/**
 * An answer about an analysis as an earlier run worked it out, or worked out now.
 *
 * @param name With the analysis, its plan and the columns, all that it follows from.
 * @param make Gives plain data: numbers, text, columns, lists and records of these.
 * @param columns Columns that differ from question to question.
 */
export function keptAnswer<Answer>(
  analysis: Analysis,
  name: string,
  make: () => Answer,
  columns: readonly Column[] = [],
): Answer {
  const of = known.get(analysis);
  return of === undefined ? make() : kept(`${of}${name} ${hashOf(columns)}`, make);
}

/**
 * What follows from columns of numbers, as {@link keptAnswer}.
 *
 * @param name Gives all else that it follows from.
 */
export function keptResult<Result>(
  name: () => string,
  columns: () => readonly Column[],
  make: () => Result,
): Result {
  return ofRun ? kept(`${name()} of ${hashOf(columns())}`, make) : make();
}

/** What was worked out that was not kept before, with what was; nothing where nothing was. */
export function newAnswers(): Uint8Array | undefined {
  if (!ofRun || ofRun.made.size === 0) return undefined;
  return serialize(new Map([...ofRun.before, ...ofRun.made]));
}

type Column = Float64Array | Uint8Array | Int32Array;

function kept<Answer>(name: string, make: () => Answer): Answer {
  if (!ofRun) return make();
  const before = ofRun.made.get(name) ?? ofRun.before.get(name);
  if (before !== undefined) return before as Answer;
  const answer = make();
  ofRun.made.set(name, answer);
  return answer;
}

function hashOf(columns: readonly Column[]): string {
  const hash = createHash("sha256");
  for (const { buffer, byteOffset, byteLength } of columns) {
    hash.update(`${byteLength} `).update(new Uint8Array(buffer, byteOffset, byteLength));
  }
  return hash.digest("hex");
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
