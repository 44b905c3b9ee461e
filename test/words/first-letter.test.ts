import { equal } from "node:assert/strict";
import { inSentence } from "../../lib/words/mod.ts";

Deno.test("inSentence() takes the capital of a word, in any alphabet, and leaves abbreviations", () => {
  // by hand
  equal(inSentence("Repair"), "repair");
  equal(inSentence("Éjection"), "éjection");
  equal(inSentence("LVEF, %"), "LVEF, %");
  equal(inSentence("5-year survival"), "5-year survival");
  equal(inSentence("A"), "A");
});
