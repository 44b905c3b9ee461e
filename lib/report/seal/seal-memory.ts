import { z } from "zod";
import type { KeptFiles } from "../kept/mod.ts";
import { sha256 } from "../../numerics/memory/mod.ts";
import type { LearntCounts } from "../../disclosure/solver/mod.ts";
import { type Facts, type Place, placeText, type ReaderKnows } from "../reading/mod.ts";

/** What a reader works out of some facts, and what is withheld for it. */
export interface Judged {
  learnt: LearntCounts;
  places: Place[];
}

/** What was worked out before of the same facts: words may change, and numbers stay. */
export interface SealMemory {
  /** Finds it, or works it out. */
  get(facts: Facts, knows: ReaderKnows, judge: () => Judged): Judged;
}

/** Works everything out. */
export const noMemory: SealMemory = { get: (_facts, _knows, judge) => judge() };

/** The same, with places in words: what a sentence says that stands in one is not asked. */
interface Kept {
  learnt: LearntCounts;
  places: string[];
}

/** A memory of one sealing, with what was remembered of the one before. */
export class KeptJudgements implements SealMemory {
  readonly #before: ReadonlyMap<string, Kept>;
  readonly #now = new Map<string, Kept>();

  private constructor(before: ReadonlyMap<string, Kept>) {
    this.#before = before;
  }

  static async of(kept: KeptFiles): Promise<KeptJudgements> {
    const bytes = await kept.find(file, null);
    const told = bytes && JSON.parse(new TextDecoder().decode(bytes));
    return new KeptJudgements(new Map(Object.entries(judgedSchema.parse(told ?? {}))));
  }

  get(facts: Facts, knows: ReaderKnows, judge: () => Judged): Judged {
    const { clues, supposed, protect } = facts;
    const places = [...facts.places].map(([count, some]) => [count, some.map(placeText)]);
    const key = sha256(JSON.stringify([clues, supposed, [...protect], places, knows]));
    const before = this.#before.get(key);
    if (before) {
      this.#now.set(key, before);
      const all = [...facts.places.values()].flat();
      const byText = new Map(all.map((place) => [placeText(place), place]));
      const { learnt } = before;
      return { learnt, places: before.places.flatMap((text) => byText.get(text) ?? []) };
    }
    const judged = judge();
    this.#now.set(key, { ...judged, places: judged.places.map(placeText) });
    return judged;
  }

  /** Keeps what this sealing asked for, where that is not what was kept. */
  async keep(kept: KeptFiles): Promise<void> {
    if ([...this.#now.keys()].every((key) => this.#before.has(key))) return;
    const text = JSON.stringify(Object.fromEntries(this.#now));
    await kept.keep(file, null, new TextEncoder().encode(text));
  }
}

const file = "what a reader can work out";

/** As it was written: a kept file that was changed is as if it were not there. */
const judgedSchema = z.record(z.string(), z.custom<Kept>());
