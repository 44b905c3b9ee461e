import assert from "node:assert/strict";
import type { KeptFiles } from "../../../lib/report/kept/mod.ts";
import type { Facts, ReaderKnows } from "../../../lib/report/reading/mod.ts";
import { KeptJudgements } from "../../../lib/report/seal/mod.ts";

const knows: ReaderKnows = { groups: ["Repair", "Replacement"], smallestCell: 11 };

/** Facts with one count, which a cell and a sentence tell; by hand. */
function factsOf(high: number, words: string): Facts {
  const sentence = { text: words, of: "table a", at: 2 };
  return {
    clues: [{ parts: [{ count: "few", times: 1 }], low: 0, high, from: "a, row 1, n" } as never],
    supposed: [],
    protect: new Set(["few"]),
    places: new Map([["few", [{ table: "a", row: 0, key: "n" }, { sentence }]]]),
  };
}

const learnt = { counts: [], unknowns: 1, clues: 1, contradicted: [] };

/** One file, in memory. */
function memory(): KeptFiles & { content?: Uint8Array<ArrayBuffer> } {
  return {
    find() {
      return Promise.resolve(this.content);
    },
    keep(_name, _from, content) {
      this.content = content;
      return Promise.resolve();
    },
    get: (_name, _from, make) => make(),
  };
}

/** Asks one sealing for judgements; tells what was withheld, and how many were worked out. */
async function judgedIn(kept: KeptFiles, ...asked: Facts[]) {
  const judgements = await KeptJudgements.of(kept);
  let worked = 0;
  const withheld = asked.map((facts) =>
    judgements.get(facts, knows, () => {
      worked++;
      return { learnt, places: facts.places.get("few")! };
    }).places
  );
  await judgements.keep(kept);
  return { withheld, worked };
}

Deno.test("KeptJudgements works out the same facts once, also in the next sealing", async () => {
  const kept = memory();
  const few = factsOf(3, "3 died.");
  assert.equal((await judgedIn(kept, few, factsOf(4, "4 died."))).worked, 2);
  const again = await judgedIn(kept, few);
  assert.equal(again.worked, 0);
  assert.deepEqual(again.withheld, [few.places.get("few")]);
});

Deno.test("KeptJudgements works out anew what differs in a number, and forgets what is not asked", async () => {
  const kept = memory();
  await judgedIn(kept, factsOf(3, "3 died."));
  assert.equal((await judgedIn(kept, factsOf(5, "5 died."))).worked, 1);
  assert.equal((await judgedIn(kept, factsOf(3, "3 died."))).worked, 1);
});

Deno.test("KeptJudgements withholds a sentence in the words that it has now", async () => {
  const kept = memory();
  await judgedIn(kept, factsOf(3, "3 died."));
  const other = factsOf(3, "Of these, 3 died.");
  const { withheld, worked } = await judgedIn(kept, other);
  assert.equal(worked, 0);
  assert.deepEqual(withheld, [other.places.get("few")]);
});
