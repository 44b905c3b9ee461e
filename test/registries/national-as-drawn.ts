import { ok } from "node:assert/strict";
import { national } from "./answers.ts";
import { reconciles, sameAsDrawn, sameVisits, usual } from "./as-drawn.ts";
import { takeRegistry } from "./begin.ts";
import { nationalRegistry } from "./national-registry.ts";

/** Takes a national file of `n` patients through the conversation; compares it with its truth. */
export async function nationalAsDrawn(n: number): Promise<void> {
  const registry = nationalRegistry(n);
  await takeRegistry(registry, national, (taken) => {
    sameAsDrawn(taken, registry, ["case_seq", ...usual, "egfr", "copd", "leaflet", "tether"]);
    sameVisits(taken, registry);
    reconciles(taken, registry);
    console.log(`National file: ${taken.talk.given} answers: ${taken.asked.join(", ")}`);
    ok(taken.talk.given <= 25, `${taken.talk.given} answers`);
  });
}
