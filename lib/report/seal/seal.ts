import { fewestValues, learnCounts, type LearntCounts } from "../../disclosure/solver/mod.ts";
import type { FigureItem, TableItem } from "../items/mod.ts";
import type { NotebookRun } from "../notebooks/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import {
  type Facts,
  type Place,
  placeText,
  type Readable,
  type ReaderKnows,
  type ShownFinding,
} from "./facts.ts";
import { readAll } from "./read.ts";
import { withoutPlaces } from "./take-out.ts";
import { placesToWithhold, type Told, withoutTexts } from "./withhold.ts";

/** What was tried before anything was written, and what came of it; stands in the manifest. */
export interface SealProof {
  smallestCell: number;
  /** How many values each protected count must keep. */
  fewestValues: number;
  /** Counts and relations that a reader has of everything published. */
  counts: number;
  clues: number;
  /**
   * Protected counts: those that may be small, and those that a reader learns are 0 or not small.
   */
  mayBeSmall: number;
  notSmall: number;
  /**
   * Of each that may be small, how many values were found possible; no more are sought
   * than must be.
   */
  possibleValues: Record<string, number>;
  /** Of these, counts for which patience ran out before every value was tried. */
  undecided: string[];
  /** Where numbers stand that contradict others as they were read, and were left out. */
  contradicted: string[];
  /** What was withheld because a count could be worked out. */
  withheld: string[];
  /** Counts that can be worked out whatever is withheld; the report warns of them. */
  pinned: string[];
}

/** Runs as they may be published, and the proof. */
export interface Sealed {
  runs: NotebookRun[];
  proof: SealProof;
}

/** Withholding is tried again so often, should a count be pinned still. */
const rounds = 4;

/**
 * Tries to work out every protected count from all tables and figures of a run together, withholds
 * what gives one away, and tries again.
 *
 * It reads what tables and drawings say, not sentences: those are written from the same counts by
 * rules of their own.
 */
export function sealRuns(
  runs: readonly NotebookRun[],
  study: Pick<Study, "groups" | "smallestCell" | "populations">,
): Sealed {
  const knows = readerOf(study);
  const withheld: Place[] = [];
  let sealed = [...runs];
  let learnt = learn(sealed, knows);
  for (let round = 0; round < rounds && pinnedIn(learnt).length > 0; round++) {
    const places = placesFor(pinnedIn(learnt), readAll(readableOf(sealed), knows), knows);
    if (places.length === 0) break;
    withheld.push(...places);
    sealed = withoutPlaces(sealed, places);
    learnt = learn(sealed, knows);
  }
  return { runs: sealed, proof: proofOf(learnt, { knows, withheld }) };
}

/** What a run's tables and figures tell of the few. */
export function whatIsLearnt(readable: Readable, knows: ReaderKnows): LearntCounts {
  const facts = readAll(readable, knows);
  return learnCounts(facts.clues, { ...limits(facts, knows), protect: [...facts.protect] });
}

function readerOf(
  { groups, smallestCell, populations }: Pick<Study, "groups" | "smallestCell" | "populations">,
): ReaderKnows {
  const within = populations.flatMap(({ label, rule }) =>
    populations.filter(({ id }) => JSON.stringify(rule ?? "").includes(`"population":"${id}"`))
      .map((whole) => ({ part: label, whole: whole.label }))
  );
  return { groups: [groups.repair, groups.replacement], smallestCell, within };
}

function limits({ clues, supposed }: Facts, { smallestCell }: ReaderKnows) {
  // no count is larger than the largest that is printed
  const printed = clues.flatMap(({ parts, low }) => parts.length === 1 ? [low] : []);
  return { smallestCell, supposed, most: Math.max(smallestCell, ...printed) };
}

function learn(runs: readonly NotebookRun[], knows: ReaderKnows): LearntCounts {
  return whatIsLearnt(readableOf(runs), knows);
}

function readableOf(runs: readonly NotebookRun[]): Readable {
  const tables: TableItem[] = [];
  const figures: FigureItem[] = [];
  const findings: ShownFinding[] = [];
  for (const output of runs.flatMap(({ outputs }) => outputs.flat())) {
    if (output.type !== "display" && output.type !== "result") continue;
    const { item } = output;
    // whether the plan asked for it tells nothing of counts
    if (item?.kind === "table") tables.push({ ...item, status: "exploratory" });
    if (item?.kind === "figure") figures.push(item);
    if (item?.kind === "finding") findings.push(item);
  }
  return { tables, figures, findings };
}

/** What to withhold for each of several pinned counts, one after the other: one may open others. */
function placesFor(pinned: readonly string[], facts: Facts, knows: ReaderKnows): Place[] {
  const places: Place[] = [];
  let told: Told = facts;
  const isOpen = (count: string, { clues, supposed }: Told) => {
    const options = { ...limits(facts, knows), supposed, protect: [count] };
    const { counts: [learnt] } = learnCounts(clues, options);
    return learnt !== undefined && !learnt.pinned;
  };
  for (const count of pinned) {
    if (isOpen(count, told)) continue;
    const found = placesToWithhold(count, { ...facts, ...told }, (some) => isOpen(count, some));
    told = withoutTexts(told, found.map(placeText));
    places.push(...found);
  }
  return places;
}

function pinnedIn({ counts }: LearntCounts): string[] {
  return counts.filter(({ pinned }) => pinned).map(({ count }) => count);
}

function proofOf(
  learnt: LearntCounts,
  { knows, withheld }: { knows: ReaderKnows; withheld: readonly Place[] },
): SealProof {
  const small = learnt.counts.filter(({ possible }) =>
    possible.some((value) => value > 0 && value < knows.smallestCell)
  );
  return {
    smallestCell: knows.smallestCell,
    fewestValues: fewestValues(knows.smallestCell),
    counts: learnt.unknowns,
    clues: learnt.clues,
    mayBeSmall: small.length,
    notSmall: learnt.counts.length - small.length,
    possibleValues: Object.fromEntries(
      small.map(({ count, possible }) => [count, possible.length]),
    ),
    undecided: learnt.counts.filter(({ decided }) => !decided).map(({ count }) => count),
    contradicted: learnt.contradicted,
    withheld: withheld.map(placeText),
    pinned: pinnedIn(learnt),
  };
}
