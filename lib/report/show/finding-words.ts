import { formatNumber, per100, roundTo } from "../../words/mod.ts";
import type { FindingData, FindingInput } from "../items/mod.ts";
import { inSentence } from "./plan-words.ts";

/**
 * What an interval supports. `first` and `second` name the group that did better; `alike`: no
 * difference shown and the range is too small to matter; `uncertain`: the range holds both no
 * difference and one that would matter.
 */
export type Verdict = "first" | "second" | "alike" | "uncertain";

/**
 * The claim a finding's interval allows, and no more.
 *
 * One group did better only where the interval lies wholly to one side of zero and the p value, if
 * there is one, agrees. Where it holds zero, `alike` needs both limits within the smallest
 * difference that matters.
 */
export function verdictOf(finding: FindingData): Verdict {
  const { lower, upper, pValue } = finding.difference;
  // 1 - 0.95 is a little more than 0.05 in binary: p = 0.05 itself is not below it
  const agrees = pValue === undefined || pValue + finding.confidence < 1 - 1e-12;
  const margin = finding.smallestThatMatters;
  if (agrees && (lower > 0 || upper < 0)) {
    return (lower > 0) === isGood(finding.quantity) ? "first" : "second";
  }
  return Math.max(Math.abs(lower), Math.abs(upper)) <= margin ? "alike" : "uncertain";
}

/**
 * A finding as natural frequencies, in one sentence.
 *
 * Whole patients where they add up, one decimal throughout where rounding would contradict the
 * difference, so that the numbers printed always subtract to the difference printed.
 *
 * @example
 * ```ts
 * findingSentence(f);
 * // "Of 100 patients like these, 5 years after operation: 71 alive after repair, 69 after
 * // replacement; difference 2 more per 100, plausible range 4 fewer to 8 more."
 * ```
 */
export function findingSentence(finding: FindingData): string {
  return findingParts(finding).map((part) => typeof part === "string" ? part : part.number)
    .join("");
}

/** A number within a finding's sentence and whose it is. */
export interface SentenceNumber {
  number: string;
  of: "first" | "second" | "difference";
}

/** The words and numbers of {@link findingSentence}, so that each number can lead to its table. */
export function findingParts(finding: FindingData): (string | SentenceNumber)[] {
  const [first, second] = finding.groups;
  const { a, b, difference, range } = perHundred(finding);
  return [
    `Of 100 ${patients(finding)}, ${years(finding.horizon)} after operation: `,
    { number: a, of: "first" },
    ` ${outcomeWords[finding.quantity]} after ${inSentence(first.label)}, `,
    { number: b, of: "second" },
    ` after ${inSentence(second.label)}; difference `,
    { number: difference, of: "difference" },
    " per 100, plausible range ",
    { number: range, of: "difference" },
    ".",
  ];
}

/** The verdict in words, to stand before or after the finding's sentence. */
export function verdictSentence(finding: FindingData): string {
  const [first, second] = finding.groups;
  const verdict = verdictOf(finding);
  const what = topics[finding.endpoint];
  if (verdict === "alike") {
    const most = Math.max(Math.abs(finding.difference.lower), Math.abs(finding.difference.upper));
    return `${capital(what)}: no clear difference, and the range leaves room for at most ` +
      `${ceilPer100(most)} per 100 either way.`;
  }
  if (verdict === "uncertain") {
    return `${
      capital(what)
    }: too uncertain to say; the range holds both no difference and one large ` +
      `enough to matter.`;
  }
  const better = verdict === "first" ? first : second;
  const worse = verdict === "first" ? second : first;
  const word = betterWords[finding.quantity];
  const crude = finding.design === "unadjusted"
    ? " in groups that were not alike to begin with, so this does not compare the operations"
    : "";
  return `${capital(what)}: ${word} after ${inSentence(better.label)} than after ${
    inSentence(worse.label)
  }${crude}.`;
}

/**
 * The findings the first screen is written from, one an endpoint: of those marked as headline, if
 * any is, the one for the population that the plan names; else a planned one before an exploratory,
 * an adjusted one before an unadjusted. Death comes first.
 *
 * @param estimand The plan's: whom the answer is about decides which design gives it.
 */
export function headlineFindings<T extends FindingData>(
  findings: readonly T[],
  estimand: FindingInput["estimand"],
): T[] {
  const marked = findings.filter((finding) => finding.headline);
  const chosen = new Map<string, T>();
  const rank = (finding: T) =>
    (finding.estimand === estimand ? 0 : 20) + (finding.status === "planned" ? 0 : 10) +
    (finding.design === "unadjusted" ? 50 : 0);
  const ranked = [...marked.length > 0 ? marked : findings].sort((x, y) => rank(x) - rank(y));
  for (const candidate of ranked) {
    if (!chosen.has(candidate.endpoint)) chosen.set(candidate.endpoint, candidate);
  }
  return [...chosen.values()].sort((x, y) =>
    endpointOrder.indexOf(x.endpoint) - endpointOrder.indexOf(y.endpoint)
  );
}

/** The answer, one line a headline finding, for the end of the command. */
export function answerLines(
  findings: readonly FindingData[],
  estimand: FindingInput["estimand"],
): string[] {
  const lines = headlineFindings(findings, estimand).map((finding) =>
    `${verdictSentence(finding)} ${findingSentence(finding)}`
  );
  return lines.length > 0 ? lines : ["No finding was recorded by the notebooks."];
}

/** The words around a drawing of a finding's difference: what is counted, and of which group. */
export function differenceWords(
  finding: FindingData,
): { what: string; left: string; right: string } {
  const after = inSentence(finding.groups[0].label);
  const what = `${capital(countedWords[finding.quantity])} per 100, difference and plausible range`;
  return { what, left: `fewer after ${after}`, right: "more" };
}

/** Numbers per 100 that subtract to the difference printed beside them. */
export function perHundred(
  finding: FindingData,
): { a: string; b: string; difference: string; range: string } {
  const [first, second] = finding.groups;
  const { estimate, lower, upper } = finding.difference;
  const x = per100(first.estimate);
  const y = per100(second.estimate);
  const whole = roundTo(x, 0) - roundTo(y, 0) === roundTo(per100(estimate), 0);
  // a limit that is not zero must not read as zero: the claim hangs on its side
  const hidden = [lower, upper].some((limit) => limit !== 0 && roundTo(per100(limit), 0) === 0);
  const digits = whole && !(hidden && lower * upper > 0) ? 0 : 1;
  const [p, q] = consistentPair(x, y, digits);
  return {
    a: formatNumber(p, { digits }),
    b: formatNumber(q, { digits }),
    difference: moreOrFewer(roundTo(p - q, digits), digits),
    range: rangeWords(per100(lower), per100(upper), digits),
  };
}

/**
 * Rounds two numbers so that they subtract to their rounded difference, each staying within one
 * unit of the last place. Ordinary rounding where that already holds.
 */
export function consistentPair(x: number, y: number, digits: number): [number, number] {
  const unit = 10 ** digits;
  const target = Math.round(roundTo(x - y, digits) * unit);
  const candidates: { pair: [number, number]; cost: number }[] = [];
  for (const p of new Set([Math.floor(x * unit), Math.ceil(x * unit)])) {
    for (const q of new Set([Math.floor(y * unit), Math.ceil(y * unit)])) {
      if (p - q === target) {
        candidates.push({ pair: [p, q], cost: Math.abs(p - x * unit) + Math.abs(q - y * unit) });
      }
    }
  }
  candidates.sort((one, two) => one.cost - two.cost);
  const [p, q] = candidates[0]?.pair ??
    [Math.round(x * unit), Math.round(x * unit) - target];
  return [p / unit, q / unit];
}

function rangeWords(lower: number, upper: number, digits: number): string {
  const from = roundTo(lower, digits);
  const to = roundTo(upper, digits);
  // a limit beside zero that still rounds to zero is named by its side
  const words = (rounded: number, exact: number) =>
    rounded === 0 && exact !== 0 && lower * upper > 0
      ? `fewer than 0.1 ${exact > 0 ? "more" : "fewer"}`
      : moreOrFewer(rounded, digits);
  if (Math.sign(from) === Math.sign(to) && from !== 0) {
    const [near, far] = from > 0 ? [from, to] : [to, from];
    const side = from > 0 ? "more" : "fewer";
    return `${plain(near, digits)} to ${plain(far, digits)} ${side}`;
  }
  return `${words(from, lower)} to ${words(to, upper)}`;
}

function moreOrFewer(value: number, digits: number): string {
  if (value === 0) return "0";
  return `${plain(value, digits)} ${value > 0 ? "more" : "fewer"}`;
}

function plain(value: number, digits: number): string {
  return formatNumber(Math.abs(value), { digits });
}

function ceilPer100(proportion: number): string {
  // never understate: 4.2 reads 5; the tiny slack forgives 0.05 * 100 = 5.000000000000001
  return formatNumber(Math.max(1, Math.ceil(proportion * 100 - 1e-9)), { digits: 0 });
}

function isGood(quantity: FindingInput["quantity"]): boolean {
  return quantity === "alive" || quantity === "alive without recurrence";
}

function years(horizon: number): string {
  return horizon === 1 ? "1 year" : `${formatNumber(horizon)} years`;
}

function patients(finding: FindingData): string {
  if (finding.design === "unadjusted") return "patients treated as these were, groups not alike";
  return "patients like these";
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}

const endpointOrder = ["death", "recurrence", "reoperation"];

const topics: Record<FindingInput["endpoint"], string> = {
  death: "survival",
  recurrence: "recurrent regurgitation",
  reoperation: "reoperation on the valve",
};

const outcomeWords: Record<FindingInput["quantity"], string> = {
  alive: "alive",
  died: "dead",
  recurrence: "with recurrent regurgitation",
  "alive without recurrence": "alive without recurrence",
  reoperation: "reoperated on",
};

const countedWords: Record<FindingInput["quantity"], string> = {
  alive: "alive",
  died: "deaths",
  recurrence: "recurrences",
  "alive without recurrence": "alive without recurrence",
  reoperation: "reoperations",
};

const betterWords: Record<FindingInput["quantity"], string> = {
  alive: "more patients alive",
  died: "fewer deaths",
  recurrence: "fewer recurrences",
  "alive without recurrence": "more patients alive without recurrence",
  reoperation: "fewer reoperations",
};
