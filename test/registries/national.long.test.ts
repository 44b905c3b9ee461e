import { ok } from "node:assert/strict";
import { national } from "./answers.ts";
import { reconciles, sameAsDrawn, sameVisits, usual } from "./as-drawn.ts";
import { takeRegistry } from "./begin.ts";
import { nationalRegistry } from "./national-registry.ts";

Deno.test("a national file of 12,000 comes out as it was drawn", async () => {
  const registry = nationalRegistry(12_000);
  await takeRegistry(registry, national, (taken) => {
    sameAsDrawn(taken, registry, ["case_seq", ...usual, "egfr", "copd", "leaflet", "tether"]);
    sameVisits(taken, registry);
    reconciles(taken, registry);
    console.log(`National file: ${taken.talk.given} answers: ${taken.asked.join(", ")}`);
    ok(taken.talk.given <= 25, `${taken.talk.given} answers`);
  });
});
