import {
  type Clue,
  countIs,
  printedCount,
  printedShare,
  type Range,
  shareOf,
  sumOf,
} from "../../disclosure/solver/mod.ts";
import { isSmall } from "../../disclosure/mod.ts";
import type { FigureItem, FindingItem, TableItem } from "../items/mod.ts";

/** What a reader knows before reading: the plan's groups and what is small. */
export interface ReaderKnows {
  /** The two groups as the plan names them, first the repair. */
  groups: readonly [string, string];
  smallestCell: number;
  /** The two groups as they stand within a sentence: "an intended repair". */
  phrases?: readonly [string, string];
  /** Populations that lie within others, as the plan says, by label. */
  within?: readonly { part: string; whole: string }[];
}

/** Tables and figures, as they are to be published. */
export interface Readable {
  tables: readonly TableItem[];
  figures: readonly FigureItem[];
  /** Key results: sizes of their groups. */
  findings?: readonly ShownFinding[];
  /** Sentences. */
  said?: readonly SaidSentence[];
}

/** A sentence, of what it is and which of its sentences. */
export interface SaidSentence {
  text: string;
  of: string;
  at: number;
}

/** What of a finding tells of counts. */
export type ShownFinding = Pick<FindingItem, "id" | "design" | "population" | "groups">;

/** Where a number stands: a cell, a drawing, the sizes of a finding's groups, or a sentence. */
export type Place =
  | { table: string; row: number; key: string }
  | { figure: string }
  | { finding: string }
  | { sentence: SaidSentence };

/**
 * What one reading gathers: clues about named counts of patients, relations that a reader may
 * suppose, counts that must stay open, and where each number stands.
 */
export interface Facts {
  clues: Clue[];
  supposed: Clue[];
  protect: Set<string>;
  /** Of each count, the places that say something of it. */
  places: Map<string, Place[]>;
}

/** Writes down what is read, one way for every kind of number. */
export class Notes implements Facts {
  readonly clues: Clue[] = [];
  readonly supposed: Clue[] = [];
  readonly protect = new Set<string>();
  readonly places = new Map<string, Place[]>();

  constructor(readonly knows: ReaderKnows) {}

  /** A count stands in a cell, exact, bounded or hidden; with its share where that is beside it. */
  cell(name: string, value: unknown, place: Place, whole?: string): void {
    const printed = printedCount(value);
    if (!printed) return;
    const from = placeText(place);
    this.#at(name, place);
    this.range(name, printed.count, from);
    if (printed.share && whole) this.share(name, printed.share, { whole, place });
  }

  /** A count lies between two numbers. What is not exact is protected. */
  range(name: string, range: Range, from: string): void {
    this.clues.push(countIs(name, range, from));
    if (range.low !== range.high || isSmall(range.low, this.knows.smallestCell)) {
      this.protect.add(name);
    }
  }

  /** A count that follows from something at a place lies between two numbers. */
  found(name: string, range: Range, place: Place): void {
    this.#at(name, place);
    this.range(name, range, placeText(place));
  }

  /** A part is a share of a whole. */
  share(part: string, share: Range, { whole, place }: { whole: string; place: Place }): void {
    this.#at(part, place);
    this.clues.push(...shareOf(part, { whole, share }, placeText(place)));
  }

  /** A column of shares in per cent says how many of `whole` a part is. */
  shareCell(
    part: string,
    value: unknown,
    { whole, place, digits = 1 }: { whole: string; place: Place; digits?: number },
  ): void {
    if (typeof value !== "number") return;
    this.share(part, printedShare(value, digits), { whole, place });
  }

  /** A whole is the sum of its parts. */
  sum(whole: string, parts: readonly string[], from: string): void {
    this.clues.push(sumOf(whole, parts, from));
  }

  /** What is left of a whole without its parts is protected. */
  rest(whole: string, parts: readonly string[], from: string): string {
    const rest = `${whole} without ${parts.join(", ")}`;
    this.clues.push(sumOf(whole, [rest, ...parts], from));
    this.protect.add(rest);
    return rest;
  }

  /** A reader may suppose a sum. */
  suppose(whole: string, parts: readonly string[], from: string): void {
    this.supposed.push(sumOf(whole, parts, from));
  }

  has(name: string): boolean {
    return this.places.has(name);
  }

  #at(name: string, place: Place): void {
    this.places.set(name, [...this.places.get(name) ?? [], place]);
  }
}

/** A place in words: `procedures, row 2, share`. */
export function placeText(place: Place): string {
  if ("figure" in place) return `figure ${place.figure}`;
  // which one, not what it says: the proof is published
  if ("sentence" in place) return `${place.sentence.of}, sentence ${place.sentence.at}`;
  return "finding" in place
    ? `finding ${place.finding}`
    : `${place.table}, row ${place.row + 1}, ${place.key}`;
}

/** How many patients there are of a group, a population or everybody. */
export function sizeOf(whom: string): string {
  return `patients: ${whom}`;
}

/** How many of a group have or had something. */
export function countOf(whom: string, what: string): string {
  return `${whom}: ${what}`;
}

/** Everybody eligible. */
export const everybody = sizeOf("all");
