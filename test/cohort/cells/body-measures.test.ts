import { equal, ok } from "node:assert/strict";
import { bodySurface, filtrationRate } from "../../../lib/cohort/cells/body-measures.ts";
import { plainWords, wordFinder } from "../../../lib/cohort/cells/text-words.ts";
import { deriver } from "../../../lib/cohort/cells/derive.ts";

Deno.test("filtrationRate() is the CKD-EPI equation of 2021", () => {
  // By hand from Inker and others (2021): 142 × (1/0.7)^-1.2 × 0.9938^60 × 1.012, and for a man
  // below the knot 142 × (0.6/0.9)^-0.302 × 0.9938^40
  ok(Math.abs(filtrationRate({ creatinine: 1, age: 60, sex: "F" }) - 64.49) < 0.01);
  ok(Math.abs(filtrationRate({ creatinine: 0.6, age: 40, sex: "M" }) - 125.15) < 0.01);
});

Deno.test("bodySurface() by both formulas", () => {
  // By hand: sqrt(170 × 70 / 3600) and 0.007184 × 170^0.725 × 70^0.425
  ok(Math.abs(bodySurface({ height: 170, weight: 70 }, "mosteller") - 1.8181) < 1e-4);
  ok(Math.abs(bodySurface({ height: 170, weight: 70 }, "du-bois") - 1.8097) < 1e-4);
});

Deno.test("wordFinder() finds whole words, and parts of words only where that is said", () => {
  const text = plainWords("Annuloplastiering 30 mm, Gore-Tex-Sehnenfäden; während OP");
  equal(wordFinder("ring")(text), false);
  equal(wordFinder("-ring")(text), true);
  equal(wordFinder("sehnenfäden")(text), true);
  equal(wordFinder("sehne-")(text), true);
  equal(wordFinder("gore tex")(text), true);
});

Deno.test("words-of takes the first word found, all of a set, and never blanks in silence", () => {
  const words = [
    { any: ["umstieg"], code: "replacement" },
    { any: ["mkr"], none: ["kein"], code: "repair" },
  ];
  const rule = { rule: "words-of", column: "final", from: "Text", words } as const;
  const of = (text: string, several = false) =>
    deriver({ ...rule, words: [...words] }, ".", several)(() => text);
  equal(of("MKR, dann Umstieg"), "replacement");
  equal(of("MKR, dann Umstieg", true), "replacement;repair");
  equal(of("MKR"), "repair");
  equal(of(""), "");
  equal(typeof of("Sonstiges"), "object");
  equal(
    deriver({ rule: "number-after", column: "ring_mm", from: "Text", after: ["-ring"] }, ".")(() =>
      "Anuloplastiering Gr. 32 mm"
    ),
    "32",
  );
  // a word without a number behind it is not the number that stands for none
  const grafts = deriver(
    { rule: "number-after", column: "cabg_grafts", from: "Text", after: ["acb"], otherwise: 0 },
    ".",
  );
  equal(grafts(() => "MKR, ACB 2"), "2");
  equal(grafts(() => "MKR"), "0");
  equal(typeof grafts(() => "MKR, 3fach ACB"), "object");
});
