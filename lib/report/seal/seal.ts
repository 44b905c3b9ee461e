import {
  cluesAbout,
  fewestValues,
  learnCounts,
  type LearntCounts,
  type PrintedClues,
} from "../../disclosure/solver/mod.ts";
import type { FigureItem, TableItem } from "../items/mod.ts";
import type { NotebookRun } from "../notebooks/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { groupPhrases } from "../../study/plan/mod.ts";
import {
  type Facts,
  type Place,
  placeText,
  type Readable,
  readAll,
  type ReaderKnows,
  type SaidSentence,
  sentencesOfRuns,
  type ShownFinding,
} from "../reading/mod.ts";
import type { DocumentsRead, RunsRead } from "./documents.ts";
import { limitsOf } from "./limits.ts";
import { type Judged, noMemory, type SealMemory } from "./seal-memory.ts";
import { withoutPlaces } from "./take-out.ts";
import { placesToWithhold, type Told, withoutTexts } from "./withhold.ts";

/** What was tried before anything was written, and what came of it; stands in the manifest. */
export interface SealProof {
  smallestCell: number;
  /** How many values each protected count must keep. */
  fewestValues: number;
  /** Sentences that were read: those of the runs, and those that the documents alone have. */
  sentences: number;
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
  /** What a reader has of them, for the documents that are made from them. */
  read: RunsRead;
}

/** Withholding is tried again so often, should a count be pinned still. */
const rounds = 4;

/**
 * Tries to work out every protected count from all tables and figures of a run together, withholds
 * what gives one away, and tries again.
 *
 * It reads tables, drawings, sizes of findings and sentences; what documents say beyond these is
 * read when they are written: {@link readDocuments}.
 *
 * @param memory What was worked out before of the same.
 */
export function sealRuns(
  runs: readonly NotebookRun[],
  study: Pick<Study, "groups" | "smallestCell" | "populations">,
  memory: SealMemory = noMemory,
): Sealed {
  const knows = readerOf(study);
  const withheld: Place[] = [];
  let sealed = [...runs];
  let read = readRuns(sealed, knows);
  let judged = memory.get(read.facts, knows, () => judge(read));
  for (let round = 0; round < rounds && judged.places.length > 0; round++) {
    withheld.push(...judged.places);
    sealed = withoutPlaces(sealed, judged.places);
    read = readRuns(sealed, knows);
    judged = memory.get(read.facts, knows, () => judge(read));
  }
  const { learnt } = judged;
  return { runs: sealed, proof: proofOf(learnt, { read, withheld }), read };
}

/** What can be worked out, and what to withhold for it. */
function judge(read: RunsRead): Judged {
  const learnt = learn(read);
  return { learnt, places: placesFor(pinnedIn(learnt), read.facts, read.knows) };
}

/** The proof with what the documents alone say. */
export function withDocuments(
  proof: SealProof,
  { sentences, withheld, pinned }: DocumentsRead,
): SealProof {
  const place = (sentence: SaidSentence) => placeText({ sentence });
  return {
    ...proof,
    sentences: proof.sentences + sentences,
    withheld: [...proof.withheld, ...withheld.map(place)],
    pinned: [...new Set([...proof.pinned, ...pinned])],
  };
}

/** What a run's tables and figures tell of the few. */
export function whatIsLearnt(readable: Readable, knows: ReaderKnows): LearntCounts {
  return learn({ facts: readAll(readable, knows), knows });
}

function learn({ facts, knows }: Pick<RunsRead, "facts" | "knows">): LearntCounts {
  return learnCounts(facts.clues, { ...limitsOf(facts, knows), protect: [...facts.protect] });
}

function readerOf(
  { groups, smallestCell, populations }: Pick<Study, "groups" | "smallestCell" | "populations">,
): ReaderKnows {
  const within = populations.flatMap(({ label, rule }) =>
    populations.filter(({ id }) => JSON.stringify(rule ?? "").includes(`"population":"${id}"`))
      .map((whole) => ({ part: label, whole: whole.label }))
  );
  const { repair, replacement } = groupPhrases(groups);
  return {
    groups: [groups.repair, groups.replacement],
    phrases: [repair, replacement],
    smallestCell,
    within,
  };
}

function readRuns(runs: readonly NotebookRun[], knows: ReaderKnows): RunsRead {
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
  const said = sentencesOfRuns(runs);
  const facts = readAll({ tables, figures, findings, said: said.sentences }, knows);
  return { facts, said, knows };
}

/** What to withhold for each of several pinned counts, one after the other: one may open others. */
function placesFor(pinned: readonly string[], facts: Facts, knows: ReaderKnows): Place[] {
  const places: Place[] = [];
  let told: Told = facts;
  const limits = limitsOf(facts, knows);
  const about = cluesAbout(facts, limits.most);
  const isOpen = (count: string, { clues, supposed }: PrintedClues) => {
    const { counts: [learnt] } = learnCounts(clues, { ...limits, supposed, protect: [count] });
    return learnt !== undefined && !learnt.pinned;
  };
  for (const count of pinned) {
    const known = about(count, told);
    if (isOpen(count, known)) continue;
    const found = placesToWithhold(count, { ...facts, ...told }, (some) => {
      const left = about(count, some);
      // nothing that is about it stood there: it is as it was
      return !isSame(left, known) && isOpen(count, left);
    });
    told = withoutTexts(told, found.map(placeText));
    places.push(...found);
  }
  return places;
}

function isSame(one: PrintedClues, other: PrintedClues): boolean {
  return (["clues", "supposed"] as const).every((kind) =>
    one[kind].length === other[kind].length &&
    one[kind].every((clue, k) => clue === other[kind][k])
  );
}

function pinnedIn({ counts }: LearntCounts): string[] {
  return counts.filter(({ pinned }) => pinned).map(({ count }) => count);
}

function proofOf(
  learnt: LearntCounts,
  { read: { knows, said }, withheld }: { read: RunsRead; withheld: readonly Place[] },
): SealProof {
  const small = learnt.counts.filter(({ possible }) =>
    possible.some((value) => value > 0 && value < knows.smallestCell)
  );
  return {
    smallestCell: knows.smallestCell,
    fewestValues: fewestValues(knows.smallestCell),
    sentences: said.sentences.length,
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
