import {
  capitalized,
  formatNumber,
  formatP,
  formatPercent,
  inSentence,
  levelText,
  per100,
  rangeDigits,
  rangeInWords,
} from "../../words/mod.ts";
import type { FindingData, FindingInput } from "../items/mod.ts";
import { headlineFindings } from "./headline-findings.ts";
import { verdictOf } from "./verdict.ts";

/**
 * A finding as natural frequencies, in one sentence: whole people of 100, or of 1,000 where so few
 * had the event that of 100 it would be one or nobody. Decimals are left to the table, but where
 * whole people would not tell the ends of the range apart.
 *
 * @example
 * ```ts ignore
 * import { findingSentence } from "mitral";
 * findingSentence(f);
 * // "Of 100 matched patients, about 71 were alive 5 years after repair and about 69 after
 * // replacement. Plausible range of the difference: 4 fewer to 8 more per 100 after repair."
 * ```
 */
export function findingSentence(finding: FindingData): string {
  return findingParts(finding).map((part) => typeof part === "string" ? part : part.number)
    .join("");
}

/**
 * A finding as a results section reports it: percentages with a decimal and their limits, the
 * difference in points per 100, and how many patients each group had.
 */
export function resultSentence(finding: FindingData): string {
  const [first, second] = finding.groups;
  const { had, timing } = outcomeWords[finding.quantity];
  const limits = (lower: number, upper: number) =>
    `${formatNumber(per100(lower), { digits: 1 })} to ${
      formatNumber(per100(upper), { digits: 1 })
    }`;
  const group = ({ label, estimate, lower, upper, n }: FindingData["groups"][number]) =>
    `${formatPercent(estimate)} (${limits(lower, upper)}) after ${inSentence(label)}${
      n === undefined ? "" : ` (n = ${formatNumber(n)})`
    }`;
  const { estimate, lower, upper, pValue } = finding.difference;
  const p = pValue === undefined ? "" : `; ${formatP(pValue)}`;
  const when = timing(years(finding.horizon)).replace(/ after$/, "");
  const time = when.startsWith("within") ? `Within ${years(finding.horizon)}` : `At ${when}`;
  return `${time}, among ${subjects(finding)}, ${group(first)} and ${group(second)} ${had} (${
    levelText(finding.confidence)
  } confidence limits). The difference was ${
    formatNumber(per100(estimate), { digits: 1 })
  } per 100 (${limits(lower, upper)}${p}).`;
}

/** A number within a finding's sentence and whose it is. */
export interface SentenceNumber {
  number: string;
  of: "first" | "second" | "difference";
}

/** The words and numbers of {@link findingSentence}, so that each number can lead to its table. */
export function findingParts(finding: FindingData): (string | SentenceNumber)[] {
  const [first, second] = finding.groups;
  const { of, a: ofFirst, b: ofSecond, range } = frequencies(finding);
  const scale = scaleOf(finding);
  const { had, timing } = outcomeWords[finding.quantity];
  const a = shareParts(first, ofFirst, scale);
  const b = shareParts(second, ofSecond, scale);
  return [
    `Of ${of} ${subjects(finding)}, ${a.before}`,
    { number: a.number, of: "first" },
    ` ${had} ${timing(years(finding.horizon))} ${inSentence(first.label)}`,
    ...a.room.map((part) => typeof part === "string" ? part : { ...part, of: "first" as const }),
    ` and ${b.before}`,
    { number: b.number, of: "second" },
    ` after ${inSentence(second.label)}`,
    ...b.room.map((part) => typeof part === "string" ? part : { ...part, of: "second" as const }),
    `. Plausible range of the difference: `,
    { number: range, of: "difference" },
    ` per ${of} after ${inSentence(first.label)}.`,
  ];
}

/**
 * How many of a group had it, in words that do not take none seen, or all, for certainty: "about
 * 12", "none … (up to 3 would fit)", "fewer than 1".
 */
function shareParts(
  { estimate, lower, upper }: FindingData["groups"][number],
  own: string,
  { printed, digits }: Scale,
): { before: string; number: string; room: (string | { number: string })[] } {
  const room = (words: string, limit: number) => [
    ` (${words} `,
    { number: printed(limit) },
    " would fit)",
  ];
  if (estimate === 0) return { before: "", number: "none", room: room("up to", upper) };
  if (estimate === 1) return { before: "", number: "all", room: room("no fewer than", lower) };
  if (own === printed(0)) {
    const least = formatNumber(1 / 10 ** digits, { digits });
    return { before: "fewer than ", number: least, room: [] };
  }
  return { before: "about ", number: own, room: [] };
}

/** Of how many people a finding is told, a share of them, and the same as printed. */
interface Scale {
  people: number;
  /** Decimals: none but where the limits of the difference would read the same without. */
  digits: number;
  scaled: (share: number) => number;
  printed: (share: number) => string;
}

function scaleOf({ groups, difference }: FindingData): Scale {
  const shares = groups.map(({ estimate }) => estimate);
  const few = shares.every((share) => share < 0.02) || shares.every((share) => share > 0.98);
  const people = few ? 1000 : 100;
  const scaled = (share: number) => (people / 100) * per100(share);
  // a tenth of one in 100 is as near as shares are told: of 1,000 that is one
  const most = few ? 0 : 1;
  const digits = rangeDigits(scaled(difference.lower), scaled(difference.upper), most);
  return { people, digits, scaled, printed: (share) => formatNumber(scaled(share), { digits }) };
}

/** The verdict in words, to stand before or after the finding's sentence. */
export function verdictSentence(finding: FindingData): string {
  const [first, second] = finding.groups;
  const verdict = verdictOf(finding);
  const what = capitalized(topics[finding.endpoint]);
  if (verdict === "alike") {
    const most = Math.max(Math.abs(finding.difference.lower), Math.abs(finding.difference.upper));
    return `${what}: no clear difference; these data fit at most ${ceilPer100(most)} per 100 ` +
      "either way.";
  }
  if (verdict === "uncertain") return `${what}: not settled. ${unsettledWords(finding)}`;
  const better = verdict === "first" ? first : second;
  const worse = verdict === "first" ? second : first;
  const word = betterWords[finding.quantity];
  const crude = finding.design === "unadjusted"
    ? " in groups that were not alike to begin with, so this does not compare the operations"
    : "";
  return `${what}: ${word} after ${inSentence(better.label)} than after ${
    inSentence(worse.label)
  }${crude}.`;
}

/** What the data fit where they settle nothing, from one end of the range to the other. */
function unsettledWords(finding: FindingData): string {
  const { lower, upper } = finding.difference;
  if (lower > 0 || upper < 0) return "The plausible range and the test do not agree.";
  const after = ` per 100 after ${inSentence(finding.groups[0].label)}`;
  return `These data fit anything from ${rangeInWords(per100(lower), per100(upper))} ${
    countedWords[finding.quantity]
  }${after}.`;
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
  const what = `${
    capitalized(countedWords[finding.quantity])
  } per 100, difference and plausible range`;
  return { what, left: `fewer after ${after}`, right: "more" };
}

/** The numbers of {@link findingSentence} as printed, and of how many people they are. */
export function frequencies(
  finding: FindingData,
): { of: string; a: string; b: string; range: string } {
  const [first, second] = finding.groups;
  const { lower, upper } = finding.difference;
  const { people, printed, scaled, digits } = scaleOf(finding);
  return {
    of: formatNumber(people),
    a: printed(first.estimate),
    b: printed(second.estimate),
    range: rangeInWords(scaled(lower), scaled(upper), { digits }),
  };
}

function ceilPer100(proportion: number): string {
  // never understate: 4.2 reads 5; the tiny slack forgives 0.05 * 100 = 5.000000000000001
  return formatNumber(Math.max(1, Math.ceil(proportion * 100 - 1e-9)), { digits: 0 });
}

function years(horizon: number): string {
  return horizon === 1 ? "1 year" : `${formatNumber(horizon)} years`;
}

/** Whom the numbers are about: the patients the design stands for, in the plan's population. */
function subjects(finding: FindingData): string {
  const { population } = finding;
  const everybody = designedFor(finding);
  return population ? `${everybody} (${inSentence(population.label)})` : everybody;
}

function designedFor({ design, estimand, groups }: FindingData): string {
  if (design === "unadjusted") return "patients treated as these were, groups not alike";
  switch (estimand) {
    case "overlap":
      return "patients who could have had either operation";
    case "treated":
      return `patients like those who had ${inSentence(groups[0].label)}`;
    case "everyone":
      return "patients like all those studied";
    case "matched sample":
      return "matched patients";
  }
}

const topics: Record<FindingInput["endpoint"], string> = {
  death: "survival",
  "valve-failure": "valve failure",
  recurrence: "recurrent regurgitation",
  reoperation: "reoperation on the valve",
};

const outcomeWords: Record<
  FindingInput["quantity"],
  { had: string; timing: (years: string) => string }
> = {
  alive: { had: "were alive", timing: (years) => `${years} after` },
  died: { had: "had died", timing: (years) => `within ${years} after` },
  "valve failure": {
    had: "had a leaking valve or a reintervention",
    timing: (years) => `within ${years} after`,
  },
  recurrence: { had: "had recurrent regurgitation", timing: (years) => `within ${years} after` },
  "recurrence between visits": {
    had: "had a recurrence, found or not,",
    timing: (years) => `within ${years} after`,
  },
  "alive without recurrence": {
    had: "were alive without recurrence",
    timing: (years) => `${years} after`,
  },
  reoperation: { had: "were reoperated on", timing: (years) => `within ${years} after` },
};

const countedWords: Record<FindingInput["quantity"], string> = {
  alive: "alive",
  died: "deaths",
  "valve failure": "valve failures",
  recurrence: "recurrences",
  "recurrence between visits": "recurrences, found or not,",
  "alive without recurrence": "alive without recurrence",
  reoperation: "reoperations",
};

const betterWords: Record<FindingInput["quantity"], string> = {
  alive: "more patients alive",
  died: "fewer deaths",
  "valve failure": "fewer valve failures",
  recurrence: "fewer recurrences",
  "recurrence between visits": "fewer recurrences, found or not,",
  "alive without recurrence": "more patients alive without recurrence",
  reoperation: "fewer reoperations",
};
