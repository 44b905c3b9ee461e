import { DataError } from "../../numerics/mod.ts";
import { publishedShare } from "../../disclosure/mod.ts";
import {
  checkInput,
  type FindingData,
  type FindingInput,
  findingInputSchema,
  type NoteInput,
  noteInputSchema,
} from "../items/mod.ts";
import { h, htmlText } from "../tree/mod.ts";
import { findingSentence } from "./finding-words.ts";
import { displayHook, type MediaBundle, mitralMediaType } from "./display.ts";

/** A {@link FindingInput} that shows itself as the sentence the rules write. */
export interface Finding extends FindingData {
  /** Tells it from figures, tables and notes. */
  kind: "finding";
  /** What a Jupyter client shows of it. */
  [displayHook](): MediaBundle;
}

/**
 * Records a key result. The report's first screen is written from these by rules (see
 * `findingSentence`), never by hand, so that it cannot claim more than the interval does.
 *
 * @throws {DataError} On proportions outside [0, 1], limits out of order, or a difference that is
 * not the first group's estimate minus the second's.
 */
export function finding(input: FindingInput): Finding {
  const checked = checkInput("finding", findingInputSchema, input);
  const between = checked.groups[0].estimate - checked.groups[1].estimate;
  if (Math.abs(between - checked.difference.estimate) > 1e-6) {
    throw new DataError(
      "finding difference.estimate",
      `the first group's estimate minus the second's, ${between}`,
      checked.difference.estimate,
    );
  }
  const complete = { ...checked, kind: "finding" as const };
  return {
    ...complete,
    [displayHook]() {
      const sentence = findingSentence(complete);
      return {
        "text/plain": sentence,
        "text/html": htmlText(h("p", {}, sentence)),
        [mitralMediaType]: publishedFinding(complete),
      };
    },
  };
}

/** A finding as it is written to a file: proportions to a tenth of one in 100, as in tables. */
export function publishedFinding<Input extends Pick<FindingInput, "groups" | "difference">>(
  input: Input,
): Input {
  const rounded = <Value extends { estimate: number; lower: number; upper: number }>(
    value: Value,
  ): Value => ({
    ...value,
    estimate: publishedShare(value.estimate),
    lower: publishedShare(value.lower),
    upper: publishedShare(value.upper),
  });
  const [first, second] = input.groups;
  return {
    ...input,
    groups: [rounded(first), rounded(second)],
    difference: rounded(input.difference),
  };
}

/** A {@link NoteInput} that shows itself. */
export interface Note extends NoteInput {
  /** Tells it from figures, tables and findings. */
  kind: "note";
  /** What a Jupyter client shows of it. */
  [displayHook](): MediaBundle;
}

/**
 * Records a sentence for a section's heading, the report's first screen (certainty, what it cannot
 * tell), its cautions or its list of deviations.
 *
 * @throws {DataError} On an empty text.
 */
export function note(input: NoteInput): Note {
  const checked = checkInput("note", noteInputSchema, input);
  return {
    ...checked,
    kind: "note",
    [displayHook]() {
      return {
        "text/plain": checked.text,
        "text/html": htmlText(h("p", {}, checked.text)),
        [mitralMediaType]: { kind: "note", ...checked },
      };
    },
  };
}
