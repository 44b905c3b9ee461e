import { listText } from "../../words/mod.ts";
import { basename, dirname, join } from "../notebooks/mod.ts";
import {
  type Origin,
  type Part,
  partFrom,
  type PartKind,
  partKinds,
  whyOther,
} from "./part-file.ts";

/** Parts that lie beside a report's folder. */
export interface FoundParts {
  /** Completed sets as one text, where all parts are there; not looked into. */
  sets?: string;
  /** Replicates as one text, where all parts are there. */
  limits?: string;
  /** What to know of those that are no use, or not all there; in words. */
  notes: string[];
}

/**
 * Where the parts of a report lie: in a hidden folder beside it, which its owner alone may enter,
 * for completed sets have one line a patient.
 */
export function partsFolder(folder: string): string {
  return join(dirname(folder), `.${basename(folder)}.parts`);
}

/** Every part in a folder, by the name of its file; null for one that cannot be read. */
export async function readParts(folder: string): Promise<Map<string, Part | null>> {
  const parts = new Map<string, Part | null>();
  let names: string[];
  try {
    names = [...Deno.readDirSync(folder)].map(({ name }) => name);
  } catch (error) {
    if (error instanceof Deno.errors.NotFound) return parts;
    throw error;
  }
  for (const name of names.filter((one) => one.endsWith(".part")).sort()) {
    parts.set(name, partFrom(await Deno.readTextFile(join(folder, name)).catch(() => "")));
  }
  return parts;
}

/**
 * The parts that belong to a run, put together where all are there. Others are left alone, and
 * told of.
 */
export async function partsAtHand(folder: string, origin: Origin): Promise<FoundParts> {
  const parts = await readParts(folder);
  const notes: string[] = [];
  const own: Part[] = [];
  for (const [name, part] of parts) {
    const why = part ? whyOther(part.origin, origin) : "cut short or changed";
    if (part && !why) own.push(part);
    else notes.push(`${name} is ${why}, and is not used.`);
  }
  const found: FoundParts = { notes };
  for (const kind of partKinds) {
    const whole = wholeOf(kind, own, notes);
    if (!whole) continue;
    // what puts them together is loaded where there are any: it brings the estimators
    if (kind === "sets") {
      const { joinedChains } = await import("../../missing/study/mod.ts");
      found.sets = joinedChains(whole.flatMap(({ lines }) => lines));
    } else {
      const { mergedReplicates } = await import("./merged-replicates.ts");
      found.limits = mergedReplicates(whole.map(({ lines }) => lines));
    }
    notes.push(`The ${whole.length} parts of the ${kind} are used.`);
  }
  return found;
}

/** All parts of a kind in their order, where none is missing. */
function wholeOf(kind: PartKind, own: readonly Part[], notes: string[]): Part[] | undefined {
  const ofKind = own.filter((part) => part.kind === kind);
  for (const of of new Set(ofKind.map((part) => part.of))) {
    const there = ofKind.filter((part) => part.of === of).sort((a, b) => a.part - b.part);
    if (there.length === of) return there;
    const missing = missingParts(there, of);
    const few = missing.slice(0, 10).map(String);
    notes.push(
      `${there.length} of ${of} parts of the ${kind} are there, and not used: missing ${
        missing.length > few.length ? `${few.join(", ")} and others` : listText(few)
      }.`,
    );
  }
  return undefined;
}

/** Which of so many parts are not there. */
export function missingParts(there: readonly Pick<Part, "part">[], of: number): number[] {
  const numbers = new Set(there.map(({ part }) => part));
  return Array.from({ length: of }, (_, k) => k + 1).filter((part) => !numbers.has(part));
}
