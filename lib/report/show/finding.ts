import { DataError } from "../../numerics/mod.ts";
import { publishedShare } from "../../disclosure/mod.ts";
import { findingSentence } from "./finding-words.ts";
import { displayHook, type MediaBundle, mitralMediaType } from "./display.ts";
import { escapeHtml } from "./escape.ts";
import { checkItemName } from "../../words/mod.ts";

/** One group's result at the horizon, as proportions. */
export interface FindingGroup {
  /** As it reads after "after": `repair`, `replacement`. */
  label: string;
  estimate: number;
  lower: number;
  upper: number;
  /** Patients of the sample it comes from (rows, not weights), at risk of the event or not. */
  n: number;
}

/** A key result in figures, from which the report writes its sentences by rule. */
export interface FindingInput {
  /** Lower-case words joined by hyphens, unique in the report. */
  id: string;
  endpoint: "death" | "recurrence" | "reoperation";
  /** What the proportions are proportions of. */
  quantity: "alive" | "died" | "recurrence" | "alive without recurrence" | "reoperation";
  /** Years after time zero. */
  horizon: number;
  design: "matched" | "weighted" | "unadjusted";
  /** To whom the comparison applies. A caliper-matched sample estimates none of the others. */
  estimand: "everyone" | "treated" | "overlap" | "matched sample";
  groups: readonly [FindingGroup, FindingGroup];
  /** First group minus second, as proportions. */
  difference: { estimate: number; lower: number; upper: number; pValue?: number };
  /** The table the figures stand in. */
  tableId: string;
  /** The figure that shows it. */
  figureId?: string;
  /** Puts it on the report's first screen; the first such finding with a figure brings the picture. */
  headline?: boolean;
  /** Confidence level of every interval, default 0.95. */
  confidence?: number;
  /** Smallest difference in proportions that would matter to a patient, default 0.05. */
  smallestThatMatters?: number;
}

/** A {@link FindingInput} that shows itself as the sentence the rules write. */
export interface Finding extends FindingInput {
  kind: "finding";
  confidence: number;
  smallestThatMatters: number;
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
  checkItemName("finding id", input.id);
  checkItemName("finding tableId", input.tableId);
  if (input.figureId !== undefined) checkItemName("finding figureId", input.figureId);
  if (!(input.horizon > 0 && input.horizon < Infinity)) {
    throw new DataError("horizon", "a number of years above 0", input.horizon);
  }
  input.groups.forEach((group, index) => {
    checkLimits(`groups[${index}]`, group, 0);
    if (!(Number.isInteger(group.n) && group.n > 0)) {
      throw new DataError(`groups[${index}].n`, "a count of patients above 0", group.n);
    }
  });
  checkLimits("difference", input.difference, -1);
  const between = input.groups[0].estimate - input.groups[1].estimate;
  if (Math.abs(between - input.difference.estimate) > 1e-6) {
    throw new DataError(
      "difference.estimate",
      `the first group's estimate minus the second's, ${between}`,
      input.difference.estimate,
    );
  }
  const p = input.difference.pValue;
  if (p !== undefined && !(p >= 0 && p <= 1)) {
    throw new DataError("difference.pValue", "between 0 and 1", p);
  }
  const { confidence = 0.95, smallestThatMatters = 0.05 } = input;
  if (!(confidence > 0.5 && confidence < 1)) {
    throw new DataError("confidence", "above 0.5 and below 1", confidence);
  }
  if (!(smallestThatMatters > 0 && smallestThatMatters < 1)) {
    throw new DataError("smallestThatMatters", "above 0 and below 1", smallestThatMatters);
  }
  const complete = { ...input, kind: "finding" as const, confidence, smallestThatMatters };
  return {
    ...complete,
    [displayHook]() {
      const sentence = findingSentence(complete);
      return {
        "text/plain": sentence,
        "text/html": `<p>${escapeHtml(sentence)}</p>`,
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

/** A sentence for the reader that no table carries. */
export interface NoteInput {
  id: string;
  /**
   * Where it belongs: what a section found, in its heading; how sure the answer is; what the
   * analysis cannot tell; a caution in using it; a departure from the study file's plan.
   */
  about: "summary" | "certainty" | "cannot-tell" | "caution" | "deviation";
  text: string;
}

/** A {@link NoteInput} that shows itself. */
export interface Note extends NoteInput {
  kind: "note";
  [displayHook](): MediaBundle;
}

/**
 * Records a sentence for a section's heading, the report's first screen (certainty, what it cannot
 * tell), its cautions or its list of deviations.
 *
 * @throws {DataError} On an empty text.
 */
export function note(input: NoteInput): Note {
  checkItemName("note id", input.id);
  if (input.text.trim() === "") throw new DataError("text", "a sentence", input.text);
  return {
    ...input,
    kind: "note",
    [displayHook]() {
      return {
        "text/plain": input.text,
        "text/html": `<p>${escapeHtml(input.text)}</p>`,
        [mitralMediaType]: { kind: "note", ...input },
      };
    },
  };
}

function checkLimits(
  what: string,
  value: { estimate: number; lower: number; upper: number },
  least: -1 | 0,
): void {
  const { estimate, lower, upper } = value;
  for (const [name, x] of Object.entries({ estimate, lower, upper })) {
    if (!(x >= least && x <= 1)) {
      throw new DataError(`${what}.${name}`, `a proportion from ${least} to 1`, x);
    }
  }
  if (!(lower <= estimate && estimate <= upper)) {
    throw new DataError(`${what}.estimate`, `within its limits ${lower} and ${upper}`, estimate);
  }
}
