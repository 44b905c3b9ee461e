import { z } from "zod";
import type { KeptFiles } from "../kept/mod.ts";
import { sha256 } from "../snapshot/mod.ts";
import type { LearntCounts } from "../../disclosure/solver/mod.ts";
import type { Facts, Place, ReaderKnows } from "../reading/mod.ts";

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

/** A memory of one sealing, with what was remembered of the one before. */
export class KeptJudgements implements SealMemory {
  readonly #before: ReadonlyMap<string, Judged>;
  readonly #now = new Map<string, Judged>();

  private constructor(before: ReadonlyMap<string, Judged>) {
    this.#before = before;
  }

  static async of(kept: KeptFiles): Promise<KeptJudgements> {
    const bytes = await kept.find(file, null);
    const told = bytes && JSON.parse(new TextDecoder().decode(bytes));
    return new KeptJudgements(new Map(Object.entries(judgedSchema.parse(told ?? {}))));
  }

  get(facts: Facts, knows: ReaderKnows, judge: () => Judged): Judged {
    const { clues, supposed, protect, places } = facts;
    const key = sha256(JSON.stringify([clues, supposed, [...protect], [...places], knows]));
    const judged = this.#before.get(key) ?? judge();
    this.#now.set(key, judged);
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
const judgedSchema = z.record(z.string(), z.custom<Judged>());
