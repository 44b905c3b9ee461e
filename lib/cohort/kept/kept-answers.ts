import { deserialize, serialize } from "node:v8";
import { plainHash } from "../../numerics/memory/mod.ts";
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
  if (of !== undefined && part !== whole) known.set(part, `${of}${plainHash(rows)} `);
}

/**
 * An answer about an analysis as an earlier run worked it out, or worked out now.
 *
 * @param question Plain data: with the analysis and its plan, all that the answer follows from.
 * @param make Gives plain data: numbers, text, columns, lists and records of these.
 */
export function keptAnswer<Result>(
  analysis: Analysis,
  question: unknown,
  make: () => Result,
): Result {
  const of = known.get(analysis);
  return of === undefined ? make() : kept(`${of}${plainHash(question)}`, make);
}

/**
 * What follows from data alone, as {@link keptAnswer}.
 *
 * @param question Gives all that it follows from; where that is not plain data, nothing is kept.
 */
export function keptResult<Result>(question: () => unknown, make: () => Result): Result {
  const name = ofRun && nameOf(question());
  return name === undefined ? make() : kept(name, make);
}

function nameOf(question: unknown): string | undefined {
  try {
    return `from data ${plainHash(question)}`;
  } catch (error) {
    if (error instanceof TypeError) return undefined;
    throw error;
  }
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

function kept<Result>(name: string, make: () => Result): Result {
  if (!ofRun) return make();
  const found = ofRun.asked.get(name) ?? ofRun.before.get(name);
  const answer: Answer = found ?? withWarnings(make);
  if (!found) ofRun.isNew = true;
  ofRun.asked.set(name, answer);
  raised(answer.warnings);
  return answer.result as Result;
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
