/** A question about an export, its id the same each time it is put. */
export interface Question {
  id: string;
  /** What the person sees: first what was found, then what is asked. */
  lines: string[];
  /** What an empty answer, or "yes", stands for; without one an answer is needed. */
  proposal?: string;
  /** Why an answer cannot be used, in words to be shown; null where it can. */
  wrong?: (answer: string) => string | null;
}

/** Somebody, or a file, that answers. `undefined` leaves a question open; "stop" ends for now. */
export type Answerer = (question: Question) => Promise<string | undefined>;

/** Thrown where the person stops: what was answered is kept. */
export class Stopped extends Error {
  override readonly name = "Stopped";
}

/** Answers by question, and how they came about. */
export interface Conversation {
  /** The answer; the proposal for "yes" or nothing; `undefined` where it stays open. */
  ask(question: Question): Promise<string | undefined>;
  /** Every answer there is, those of earlier times among them. */
  readonly answers: Readonly<Record<string, string>>;
  /** How many of them were given now. */
  readonly given: number;
  /** Ids of questions that stay open. */
  readonly open: string[];
}

/**
 * A conversation that remembers: what was answered before is not asked again, and each new answer is
 * kept at once, so that it can be stopped anywhere and gone on with.
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
  let given = 0;
  const meant = (question: Question, answer: string): string | undefined => {
    const text = answer.trim();
    return text === "" || /^(y|yes|ja|oui|s[ií])$/i.test(text) ? question.proposal : text;
  };
  return {
    answers,
    open,
    get given() {
      return given;
    },
    async ask(question) {
      const known = Object.hasOwn(answers, question.id) ? answers[question.id] : undefined;
      if (known !== undefined) {
        const answer = meant(question, known);
        // an answer of another time may not fit any more: then it is asked anew
        if (answer !== undefined && !question.wrong?.(answer)) return answer;
      }
      for (let turn = 0; turn < mostTurns; turn++) {
        const raw = await answerer(question);
        if (raw === undefined) break;
        if (/^(stop|quit|halt)$/i.test(raw.trim())) throw new Stopped();
        const answer = meant(question, raw);
        const wrong = answer === undefined
          ? "this needs an answer of its own, or “open”"
          : question.wrong?.(answer) ?? null;
        if (wrong !== null || answer === undefined) {
          question = { ...question, lines: [`That could not be used: ${wrong}.`] };
          continue;
        }
        answers[question.id] = answer;
        given++;
        await keep(answers);
        return answer;
      }
      open.push(question.id);
      return undefined;
    },
  };
}

// a person who is not understood so often has something else in mind
const mostTurns = 20;
