import { printedShare, type Range, shareOf } from "../../disclosure/solver/mod.ts";
import {
  everybody,
  type Notes,
  type Place,
  placeText,
  type SaidSentence,
  sizeOf,
} from "./facts.ts";
import { finalReplacement } from "./names.ts";
import { notRepairedOfAll, repairedOfAll } from "./programme.ts";

/**
 * Reads what sentences say of people: counts, "x of n", "p% of n", "of 100 …, x …".
 *
 * What a count is of is known from a few phrases of the report's own; any other stands for itself:
 * it must not be small, nor what is left of the whole that is named beside it.
 */
export function readSentence(said: SaidSentence, notes: Notes): void {
  const { text } = said;
  if (!/\d|\b(?:two|three|four|five|six|seven|eight|nine|ten)\b/i.test(text)) return;
  // a work that is cited is of other people; points of a figure are read off the figure, and the
  // shares of surgeons are those of a model
  if (/\bet al\b|\band others, |\b\d{4};\d+|^Predicted \d|^Surgeon \w+: \d/.test(text)) return;
  const place: Place = { sentence: said };
  const reading: Reading = {
    notes,
    place,
    name: (what) => `${placeText(place)}: ${what}`,
    next: 0,
  };
  // clause by clause: numbers of one say nothing of those of another
  for (const clause of plainText(text).split(/[;:]\s/)) {
    if (readOfHundred(clause, reading)) continue;
    const left = readShares(readParts(clause, reading), reading);
    if (!ofNobody.test(clause)) readCounts(left, reading);
  }
}

interface Reading {
  notes: Notes;
  place: Place;
  /** A count that this sentence alone is about. */
  name(what: string): string;
  next: number;
}

const count = String.raw`(?<![\w.,−-])(\d{1,3}(?:,\d{3})+|\d+)(?![\w]|[.,]\d|%)`;
const people =
  "patients|people|persons|women|men|pairs|deaths|survivors|repairs|replacements|reoperations|" +
  "reinterventions|recurrences|strokes|infections|events|conversions|leaks";
const happened = "had|have|has|died|was|were|did not|could not|left|needed|remained";

/** Numbers of what is no person, and sentences of which every number is of 100. */
const ofNobody =
  /characteristic|difference|column|squares|products|paths?\b|estimate|coefficient|per 100|of 100\b|simulated|warnings|\bsets?\b|\bp values?\b|surgeons|visits|echocardiograms|iteration|model|\brows\b/i;

function plainText(text: string): string {
  return text.replace(/[\u00a0\u202f\s]+/g, " ").replace(
    spelled,
    (word) => String(words.indexOf(word.toLowerCase()) + 2),
  );
}

/**
 * "Three patients had": a number in letters is a count where something befell them, else a figure
 * of speech.
 */
const spelled = new RegExp(
  `\\b(?:two|three|four|five|six|seven|eight|nine|ten)\\b(?= (?:(?:(?:[a-z-]+ ){0,2}?(?:${people}) )?(?:${happened})\\b|(?:out )?of (?:the |these |their |all )?\\d))`,
  "gi",
);
const words = ["two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];

/**
 * "Of 100 repairs that were meant, 5 ended as a replacement": shares of those of whom there are so
 * many.
 */
function readOfHundred(clause: string, reading: Reading): boolean {
  const [, whom = "", rest = ""] = /^Of 100 ([^,]+), (.+)$/i.exec(clause.trim()) ?? [];
  if (rest === "") return false;
  const { notes, place } = reading;
  const [first] = notes.knows.groups;
  const whole = wholes.find(({ said }) => said.test(whom))?.name(notes.knows.groups);
  if (whole === undefined) return true;
  for (const [, share = "", verb = ""] of rest.matchAll(/(\d+) ([a-z]+)/g)) {
    const part = whole === sizeOf(first) && verb === "ended"
      ? finalReplacement(first)
      : reading.name(`share ${++reading.next}`);
    notes.share(part, around(share), { whole, place });
    notes.protect.add(part);
    notes.rest(whole, [part], placeText(place));
  }
  return true;
}

const wholes: readonly {
  said: RegExp;
  name(groups: readonly [string, string]): string;
}[] = [
  { said: /^valves repaired/, name: () => repairedOfAll },
  { said: /^valves replaced/, name: () => notRepairedOfAll },
  { said: /^repairs that were meant/, name: ([first]) => sizeOf(first) },
  { said: /^replacements that were meant/, name: ([, second]) => sizeOf(second) },
];

/** "4 of 374 patients": the part, and what is left of the whole. */
function readParts(clause: string, reading: Reading): string {
  const pattern = new RegExp(
    `${count}(?: (?:(?:${people}) )?(?:out )?of (?:the |these |their |all )?| ?/ ?)${count}(?= (?:\\w+ ){0,3}?(?:${people}|${happened})\\b|[.,)]|$)`,
    "g",
  );
  const { notes, place } = reading;
  return clause.replace(pattern, (found, part: string, whole: string) => {
    if (ofNobody.test(clause) || numberOf(whole) < numberOf(part) || numberOf(whole) === 100) {
      return found;
    }
    const [name, all] = [
      reading.name(`part ${++reading.next}`),
      reading.name(`of ${reading.next}`),
    ];
    notes.found(name, exactly(part), place);
    notes.found(all, exactly(whole), place);
    notes.rest(all, [name], placeText(place));
    return " ";
  });
}

/** "61% of patients", "6% of 249", "12% (3 of 25)" without its brackets. */
function readShares(clause: string, reading: Reading): string {
  const { notes, place } = reading;
  return clause.replace(
    new RegExp(
      String.raw`(?<![\w.])(\d+(?:\.\d+)?)%(?: \([^)]*\))? of (?:the |these |all )?${count}`,
      "g",
    ),
    (found, share: string, whole: string) => {
      if (numberOf(whole) === 100 || ofNobody.test(clause)) return found;
      const [name, all] = [
        reading.name(`share ${++reading.next}`),
        reading.name(`of ${reading.next}`),
      ];
      notes.found(all, exactly(whole), place);
      notes.share(name, around(share), { whole: all, place });
      notes.protect.add(name);
      notes.rest(all, [name], placeText(place));
      return " ";
    },
  ).replace(
    /(?<![\w.])(\d+)% (?:of (?:the )?patients )?with (an? \w+ \w+)/g,
    (found, share: string, whom: string) => {
      const group = notes.knows.groups[notes.knows.phrases?.indexOf(whom) ?? -1];
      // nobody is no secret
      if (group === undefined || share === "0" || share === "100") return found;
      const name = reading.name(`share ${++reading.next}`);
      // of all of the group, as a reader takes it
      const clues = shareOf(name, { whole: sizeOf(group), share: around(share) }, placeText(place));
      notes.supposed.push(...clues);
      notes.found(name, { low: 0, high: Infinity }, place);
      notes.rest(sizeOf(group), [name], placeText(place));
      return " ";
    },
  ).replace(
    /^(\d+)% of patients left theatre with a repair/,
    (found, share: string) => {
      notes.share(repairedOfAll, around(share), { whole: everybody, place });
      return found.replace(/\d+%/, "");
    },
  );
}

/**
 * Numbers that stand before people or what befell them; those after "fewer than" and the like are
 * rules.
 */
function readCounts(clause: string, reading: Reading): void {
  const { notes, place } = reading;
  const pattern = new RegExp(
    `(?<before>[\\w%]+ (?:than )?)?${count} (?:(?:(?:[a-z-]+ ){0,2}?(?:${people})|${happened})\\b|(?<after>of (?:them|these|those|whom|which|their)\\b))`,
    "gi",
  );
  const take = (found: string) => {
    const name = reading.name(`count ${++reading.next}`);
    notes.found(name, exactly(found), place);
    return name;
  };
  // "8 (4%)", "n = 8"
  for (const [, a, b] of clause.matchAll(withShare)) take(a ?? b ?? "");
  let before: string | undefined;
  for (const { 2: found = "", groups } of clause.matchAll(pattern)) {
    if (notACount.test(groups?.before ?? "")) continue;
    const name = take(found);
    if (groups?.after && before !== undefined) notes.rest(before, [name], placeText(place));
    before = name;
  }
}

const withShare = new RegExp(
  String.raw`${count} \(\d+(?:\.\d+)?%\)|\bn ?= ?(\d{1,3}(?:,\d{3})+|\d+)(?!\w|[.,]\d)`,
  "g",
);

const notACount =
  /^(?:fewer|more|less|above|below|least|most|first|last|next|every|each|per|about|figure|table|step|cell|grade|class|day|year|month|level|version|under|over|within|by|to|than|or) /i;

/** Every proportion that is printed as so many per cent. */
function around(text: string): Range {
  return printedShare(Number(text) / 100, text.split(".")[1]?.length ?? 0);
}

function exactly(text: string): { low: number; high: number } {
  return { low: numberOf(text), high: numberOf(text) };
}

function numberOf(text: string): number {
  return Number(text.replaceAll(",", ""));
}
