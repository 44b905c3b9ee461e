import type { TableName } from "../dictionary/mod.ts";
import type { ShownHeading } from "./shown-heading.ts";

/** One of the answers there are, and what it says. */
export interface Choice {
  answer: string;
  label: string;
}

/** A value whose meaning is asked for. */
export interface AskedValue {
  value: string;
  count: number;
  /** What it is taken for unless another is named. */
  code?: string | number;
  why?: string;
}

/** How a page puts a question by clicking; what comes of it is the answer a line would be. */
export type Form =
  | { kind: "one"; choices: readonly Choice[] }
  | { kind: "some"; names: readonly string[]; joint: string; none: string; what: string }
  /** `codes` is null where numbers are asked for. */
  | { kind: "codes"; values: readonly AskedValue[]; codes: readonly Choice[] | null }
  | { kind: "heading"; table: TableName }
  | { kind: "confirm"; names: readonly Choice[] };

/** A question about an export, its id the same each time it is put. */
export interface Question {
  id: string;
  /** What the person sees: first what is asked, then what was found. */
  lines: string[];
  /** How to answer by a line; a page's controls say it themselves. */
  hint?: string;
  /** What an empty answer, or "yes", stands for; without one an answer is needed. */
  proposal?: string;
  /** Why an answer cannot be used, in words to be shown; null where it can. */
  wrong?: (answer: string) => string | null;
  /** Whether an answer of another time says all that is asked now; if not, it is asked anew. */
  covers?: (answer: string) => boolean;
  /** The answer as it is kept, with what it left unsaid; default: as given. */
  whole?: (answer: string) => string;
  /** Not kept: an answer of another time says nothing about what is asked now. */
  once?: boolean;
  /** What holds where nobody is there to be asked, in place of staying open. */
  unasked?: string;
  /** Why the answer just given could not be used. */
  trouble?: string;
  /** The heading it is about. */
  about?: ShownHeading;
  /** How it is put on a page; default: a line to be written. */
  form?: Form;
}

// what else is asked of a table
const ofTable = new Set(["id", "header", "decimal", "dates", "fill-down", "sheet", "unlike"]);

/** The id of the question what a heading is: no other question's, whatever the heading. */
export function headingId(table: TableName, heading: string): string {
  return `${table}.${ofTable.has(heading) ? `heading ${heading}` : heading}`;
}

/** Somebody, or a file, that answers. `undefined` leaves a question open; "stop" ends for now. */
export type Answerer = (question: Question) => Promise<string | undefined>;

/** Where questions are put and answered: a terminal, a page, or nowhere. */
export interface Desk {
  answerer: Answerer;
  /** Told what needs no answer. */
  say(line: string): void;
  /** Told of every heading of a table, before any is asked about. */
  show?(headings: readonly ShownHeading[]): void;
}

/** Thrown where the person stops: what was answered is kept. */
export class Stopped extends Error {
  override readonly name = "Stopped";
}

/** Thrown where the person goes back to the question before. */
export class Back extends Error {
  override readonly name = "Back";
}

/** Answers by question, and how they came about. */
export interface Conversation {
  /** The answer; the proposal for "yes" or nothing; `undefined` where it stays open. */
  ask(question: Question): Promise<string | undefined>;
  /** Keeps an answer that follows from another one. */
  remember(id: string, answer: string): Promise<void>;
  /** Begins anew: what these ids were answered, and what hangs on it, is asked again. */
  again(ids: readonly string[]): Promise<void>;
  /** Begins anew: the last answer given is asked for again. */
  back(): Promise<void>;
  /** Whether this is to be asked, however sure it is. */
  asksAgain(id: string): boolean;
  /** Every answer there is, those of earlier times among them. */
  readonly answers: Readonly<Record<string, string>>;
  /** How many of them were given now. */
  readonly given: number;
  /** Ids of questions that stay open. */
  readonly open: readonly string[];
}

/**
 * A conversation that remembers: what was answered before is not asked again, and each new answer
 * is kept at once, so that it can be stopped anywhere and gone on with.
 *
 * @param before Answers of earlier times, or of a file of answers.
 * @param keep Told all answers after each new one.
 */
export function conversation(
  answerer: Answerer,
  before: Readonly<Record<string, string>>,
  keep: (answers: Readonly<Record<string, string>>) => Promise<void>,
): Conversation {
  const answers: Record<string, string> = { ...before };
  const open: string[] = [];
  const doubted = new Set<string>();
  /** Ids answered now, each with those that were remembered with it. */
  const given: string[][] = [];
  const meant = (question: Question, answer: string): string | undefined => {
    const text = answer.trim();
    return text === "" || /^(y|yes|ja|oui|s[ií])$/i.test(text) ? question.proposal : text;
  };
  /** An answer of another time, where it can still be used. */
  const known = (question: Question): string | undefined => {
    const held = Object.hasOwn(answers, question.id) ? answers[question.id] : undefined;
    const answer = held === undefined ? undefined : meant(question, held);
    return answer === undefined || question.wrong?.(answer) ? undefined : answer;
  };
  const put = async (question: Question): Promise<string | undefined> => {
    for (let turn = 0; turn < mostTurns; turn++) {
      const raw = await answerer(question);
      if (raw === undefined) return undefined;
      if (/^(stop|quit|halt)$/i.test(raw.trim())) throw new Stopped();
      if (/^back$/i.test(raw.trim())) throw new Back();
      const answer = meant(question, raw);
      const wrong = answer === undefined
        ? "this needs an answer of its own, or “open”"
        : question.wrong?.(answer) ?? null;
      if (wrong === null) return answer;
      question = { ...question, trouble: `That could not be used: ${wrong}.` };
    }
    return undefined;
  };
  const talk: Conversation = {
    answers,
    open,
    get given() {
      return given.length;
    },
    async remember(id, answer) {
      answers[id] = answer;
      given.at(-1)?.push(id);
      await keep(answers);
    },
    async back() {
      open.length = 0;
      for (const id of given.pop() ?? []) delete answers[id];
      await keep(answers);
    },
    async again(ids) {
      open.length = 0;
      for (const id of ids) {
        doubted.add(id);
        for (const one of Object.keys(answers)) {
          if (one === id || one.startsWith(`${id}.`)) delete answers[one];
        }
      }
      await keep(answers);
    },
    asksAgain: (id) => doubted.has(id),
    async ask(question) {
      const { id, covers, once = false, unasked, whole = (answer) => answer } = question;
      const before = known(question);
      if (once) delete answers[id];
      if (before !== undefined && (covers?.(before) ?? true)) return before;
      const answer = await put(question);
      if (answer === undefined) {
        if (unasked !== undefined) return unasked;
        open.push(id);
        return before;
      }
      given.push([id]);
      doubted.delete(id);
      if (once) return answer;
      await talk.remember(id, whole(answer));
      return answers[id];
    },
  };
  return talk;
}

/** What nobody answered and nothing can go on without, with how to answer it in a file. */
export function unanswered(what: string, id: string): Error {
  return new Error(
    `${what}: answer the question, or write {${
      JSON.stringify(id)
    }: "..."} into a file of answers, ` +
      "and name it with --answers",
  );
}

// a person who is not understood so often has something else in mind
const mostTurns = 20;
