import type { DictionaryColumn } from "../dictionary/mod.ts";
import type { ColumnProfile } from "../propose/mod.ts";
import { answerForCodes, codesOf } from "./answers.ts";
import type { AskedValue } from "./questions.ts";

/** Codes by the file's values. */
export type Codes = Record<string, string | number>;

/** Codes in the order of the file's values, whatever order they were named in. */
export function inOrder({ values }: ColumnProfile, codes: Codes): Codes {
  const found = [...values.keys()].filter((value) => Object.hasOwn(codes, value));
  return { ...Object.fromEntries(found.map((value) => [value, codes[value]!])), ...codes };
}

/** Answers about values are kept with all that was asked about, so that new values show. */
export function wholeAnswers(column: DictionaryColumn, asked: readonly AskedValue[]) {
  const saying = (answer: string) => {
    const said = codesOf(column, answer);
    return new Set([...Object.keys(said?.codes ?? {}), ...said?.open ?? []]);
  };
  return {
    covers(answer: string): boolean {
      if (/^open$/i.test(answer)) return true;
      const said = saying(answer);
      return asked.every(({ value }) => said.has(value));
    },
    whole(answer: string): string {
      const found = /^open$/i.test(answer) ? null : codesOf(column, answer);
      if (!found) return answer;
      const said = saying(answer);
      const rest = asked.filter(({ value }) => !said.has(value));
      const proposed = rest.flatMap(({ value, code }) => code === undefined ? [] : [[value, code]]);
      const open = rest.filter(({ code }) => code === undefined).map(({ value }) => value);
      return answerForCodes({ ...found.codes, ...Object.fromEntries(proposed) }, [
        ...found.open,
        ...open,
      ]);
    },
  };
}

/** The value that is asked about. */
export const valueOf = ({ value }: AskedValue) => value;
