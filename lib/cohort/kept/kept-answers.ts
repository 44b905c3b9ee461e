import { createHash } from "node:crypto";
import { deserialize, serialize } from "node:v8";
import { raised, withWarnings } from "../../numerics/mod.ts";
import type { Analysis } from "../model/mod.ts";

/** An answer, with what a reader must know of it. */
interface Answer {
  result: unknown;
  warnings: readonly string[];
}

/** What was worked out from one study, by name. */
interface Answers {
  /** In an earlier run. */
  before: ReadonlyMap<string, Answer>;
  /** What this run asked for. */
  asked: Map<string, Answer>;
  /** Whether any of it is new. */
  isNew: boolean;
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
  ofRun = { before: readAnswers(before), asked: new Map(), isNew: false };
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
export function keptAnswer<Result>(
  analysis: Analysis,
  name: string,
  make: () => Result,
  columns: readonly Column[] = [],
): Result {
  const of = known.get(analysis);
  return of === undefined ? make() : kept(`${of}${name} ${hashOf(columns)}`, make);
}

/**
 * What follows from columns of numbers, as {@link keptAnswer}.
 *
 * @param question Gives all that it follows from; nothing where that cannot be told.
 */
export function keptResult<Result>(
  question: () => { name: string; columns: readonly Column[] } | undefined,
  make: () => Result,
): Result {
  const asked = ofRun && question();
  return asked ? kept(`${asked.name} of ${hashOf(asked.columns)}`, make) : make();
}

/**
 * What was worked out that was not kept before, with what was; where that is too much, what this
 * run asked for. Nothing where nothing is new.
 */
export function newAnswers(): Uint8Array | undefined {
  if (!ofRun?.isNew) return undefined;
  const { before, asked } = ofRun;
  return [new Map([...before, ...asked]), asked].map((answers) => serialize(answers))
    .find(({ length }) => length <= most);
}

/** Bytes: more than twice what any of the demonstration comes to. */
const most = 10e6;

type Column = Float64Array | Uint8Array | Int32Array;

function kept<Result>(name: string, make: () => Result): Result {
  if (!ofRun) return make();
  const found = ofRun.asked.get(name) ?? ofRun.before.get(name);
  const answer: Answer = found ?? withWarnings(make);
  if (!found) ofRun.isNew = true;
  ofRun.asked.set(name, answer);
  raised(answer.warnings);
  return answer.result as Result;
}

/** Columns with their kinds and lengths. */
function hashOf(columns: readonly Column[]): string {
  const hash = createHash("sha256");
  for (const { buffer, byteOffset, byteLength, constructor: { name } } of columns) {
    hash.update(`${name} ${byteLength} `).update(new Uint8Array(buffer, byteOffset, byteLength));
  }
  return hash.digest("hex");
}

/** What cannot be read is as if it were not there. */
function readAnswers(bytes: Uint8Array): ReadonlyMap<string, Answer> {
  if (bytes.length === 0) return new Map();
  try {
    const told: unknown = deserialize(bytes);
    return told instanceof Map ? told : new Map();
  } catch {
    return new Map();
  }
}
