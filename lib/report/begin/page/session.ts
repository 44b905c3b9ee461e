import type { Desk, Question, ShownHeading } from "../../../cohort/begin/mod.ts";
import { within } from "./within.ts";

/** What the page shows now. */
export interface PageState {
  /** What was found that needs no answer. */
  said: string[];
  /** Every heading looked at so far, and what it is taken for. */
  headings: ShownHeading[];
  /** The question that waits for an answer. */
  question: Question | null;
  /** How it ended. */
  end: readonly string[] | null;
}

/** A conversation at a page: one question at a time waits, until an answer comes by a request. */
export interface Session {
  desk: Desk;
  state: Readonly<PageState>;
  /** Gives the waiting question an answer. */
  answer(text: string): void;
  /** Settled when a question waits or all has ended, or after some time. */
  settled(milliseconds: number): Promise<void>;
  end(lines: readonly string[]): void;
}

/** A new conversation, in which nothing was said. */
export function session(): Session {
  const state: PageState = { said: [], headings: [], question: null, end: null };
  let give: ((answer: string) => void) | null = null;
  let waiting = Promise.withResolvers<void>();
  return {
    state,
    desk: {
      answerer: (question) => {
        const { promise, resolve } = Promise.withResolvers<string>();
        state.question = question;
        give = resolve;
        waiting.resolve();
        return promise;
      },
      say: (line) => void state.said.push(line),
      show(headings) {
        const table = headings[0]?.table;
        // begun anew, the first table's headings begin the list anew
        state.headings = [...state.headings.filter((one) => one.table !== table), ...headings];
      },
    },
    answer(text) {
      const answered = give;
      state.question = null;
      give = null;
      waiting = Promise.withResolvers();
      answered?.(text);
    },
    settled: (milliseconds) => within(milliseconds, waiting.promise),
    end(lines) {
      state.question = null;
      state.end = lines;
      waiting.resolve();
    },
  };
}
