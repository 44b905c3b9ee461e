import { join } from "node:path";
import { parseHTML } from "linkedom";

/** What `findings.json` has of a finding, as far as sentences are held against it. */
interface FoundNumbers {
  horizon: number;
  groups: { estimate: number }[];
  difference: { estimate: number; lower: number; upper: number };
}

/** What a report says and what it rests on. */
export interface Said {
  sentences: string[];
  findings: FoundNumbers[];
  /** Every number of `findings.json`: findings, tables, plan. */
  numbers: number[];
}

const blocks = "p, li, td, th, h1, h2, h3, h4, dd, dt, figcaption, caption";

/** Reads the sentences of a report's front pages, and the numbers they must come from. */
export function readSaid(folder: string): Said {
  const { findings, ...rest } = JSON.parse(Deno.readTextFileSync(join(folder, "findings.json")));
  const pages = ["report.html", "brief.html"].map((name) =>
    parseHTML(Deno.readTextFileSync(join(folder, name))).document
  );
  const sentences = pages.flatMap((page) => {
    for (const hidden of page.querySelectorAll("style, script, svg")) hidden.remove();
    return [...page.querySelectorAll(blocks)].filter((block) => !block.querySelector(blocks))
      .flatMap((block) => sentencesOf(block.textContent ?? ""));
  });
  return { sentences, findings, numbers: numbersIn({ findings, ...rest }) };
}

/** The sentences of a text that have a number. */
export function sentencesOf(text: string): string[] {
  return text.replace(/\s+/g, " ").split(/(?<=[.?!]) /).map((one) => one.trim())
    .filter((one) => /\d/.test(one) && one.length > 40);
}

/** Every number of a value from JSON, those within its texts among them. */
export function numbersIn(value: unknown): number[] {
  if (typeof value === "number") return [value];
  if (typeof value === "string") return tokensOf(value).map(({ number }) => number);
  return typeof value === "object" && value !== null ? Object.values(value).flatMap(numbersIn) : [];
}

/** Sentences whose numbers are not those of the findings and tables, each with what is wrong. */
export function contradictions({ sentences, findings, numbers }: Said): string[] {
  const known = knownTexts(numbers);
  // of 1,000, where few had the event: proportions are published to one in 1,000
  const ofThousand = new Set(
    numbers.filter((number) => number >= 0 && number <= 1)
      .map((number) => String(halfUp(1000 * number, 0))),
  );
  // a p value above 0.99 is told as that, whatever it is
  const nearOne = numbers.some((number) => number > 0.99 && number <= 1);
  return sentences.filter((sentence) => !ofItself.test(sentence)).flatMap((sentence) => {
    const wrong = [
      ...wrongGroups(sentence, findings),
      ...wrongRange(sentence, findings),
      ...tokensOf(withoutHashes(sentence).replace(/p > 0\.99\b/, nearOne ? "" : "$&"))
        .filter(({ text }) =>
          !known.has(text) && !(/^Of 1,000 /.test(sentence) && ofThousand.has(text))
        )
        .map(({ text }) => `${text} is in no finding or table`),
    ];
    return wrong.map((why) => `${why}: ${sentence}`);
  });
}

/** A hash in hexadecimal may happen to have digits only, and is no number. */
const withoutHashes = (sentence: string) =>
  sentence.replace(/\b(plan|cohort file) [0-9a-f]{12}\b/g, "$1");

/** Median follow-up has no table: its sentence is where it is told. */
const ofItself = /^Half of the patients were followed/;

/** Of 100, whole or with a decimal. */
const size = "(\\d+(?:\\.\\d)?)";

/** "Of 100 patients …, about 83 … 5 years after … and about 82 after …": some finding says so. */
function wrongGroups(sentence: string, findings: readonly FoundNumbers[]): string[] {
  const found = new RegExp(
    `^Of 100 patients.*?about ${size} .*?(\\d+(?:\\.\\d+)?) years? after .*about ${size} after`,
  ).exec(sentence);
  if (!found) return [];
  const [, first, years, second] = found;
  const fits = findings.some(({ horizon, groups: [one, other] }) =>
    horizon === Number(years) && isPrinted(one?.estimate, first) &&
    isPrinted(other?.estimate, second)
  );
  return fits ? [] : ["no finding has these two groups"];
}

/**
 * "4 fewer to 6 more per 100", "11 to 19 more per 100", "14.8 to 15.3 more per 100", "about 15 more
 * per 100": some finding has these limits, so directed.
 */
function wrongRange(sentence: string, findings: readonly FoundNumbers[]): string[] {
  const found = new RegExp(
    `range of the difference: (?:about|${size}(?: (fewer|more))? to) ${size} (fewer|more) per 100`,
  ).exec(sentence);
  if (!found) return [];
  const last = { size: found[3]!, side: found[4] };
  const first = { size: found[1] ?? last.size, side: found[2] ?? last.side };
  const limits = [first, last]
    .map(({ size, side }) => (side === "fewer" ? "-" : "") + size)
    .sort((a, b) => Number(a) - Number(b));
  const fits = findings.some(({ difference: { lower, upper } }) =>
    isPrinted(lower, limits[0]) && isPrinted(upper, limits[1])
  );
  return fits ? [] : ["no finding has this range"];
}

/** Whether a proportion reads so: with a decimal just as it is published, else as a whole. */
function isPrinted(proportion: number | undefined, text: string | undefined): boolean {
  return text?.includes(".")
    ? halfUp(100 * (proportion ?? NaN), 1) === Number(text)
    : isWhole(proportion, Number(text));
}

/**
 * Whether a whole number per 100 is what a proportion comes to. Proportions are published to a
 * tenth of one in 100, sentences rounded from what was estimated: of 89.5, which may have been
 * 89.46, both neighbours are right, of any other number one.
 */
function isWhole(proportion: number | undefined, whole: number | undefined): boolean {
  const tenths = halfUp(1000 * (proportion ?? NaN), 0);
  const tie = Math.abs(tenths % 10) === 5;
  return whole === halfUp(tenths / 10, 0) ||
    (tie && whole === (Math.sign(tenths) * Math.floor(Math.abs(tenths) / 10) || 0));
}

/** Rounded to so many decimals, halves away from 0, as every text of a report. */
function halfUp(value: number, decimals: number): number {
  const scale = 10 ** decimals;
  return Math.sign(value) * Math.floor(Math.abs(value) * scale + 0.5 + 1e-9) / scale || 0;
}

const month = 12;

/**
 * The numbers as a sentence may print them: as they are, a proportion per 100, years as months,
 * with up to three decimals. No other size will do.
 */
function knownTexts(numbers: readonly number[]): Set<string> {
  const known = new Set<string>();
  for (const number of numbers) {
    const size = Math.abs(number);
    for (const value of [size, ...(size <= 1 ? [100 * size] : []), month * size]) {
      for (const decimals of [0, 1, 2, 3]) known.add(halfUp(value, decimals).toFixed(decimals));
    }
    // a decimal year is told as a part of that year
    known.add(String(Math.floor(size)));
  }
  return known;
}

/** Numbers in a text, without thousands' commas; not those within a name or a hash. */
function tokensOf(text: string): { text: string; number: number }[] {
  return [...text.matchAll(/(?<![\w.]|[A-Z]-)\d[\d,]*(?:\.\d+)?(?!\w|-[a-z])/g)].map(([found]) => {
    const own = found.replace(/,/g, "");
    return { text: own, number: Number(own) };
  });
}
