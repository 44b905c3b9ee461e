import { deepEqual, equal } from "node:assert/strict";
import { areFractions, oddGrade, oddNumber } from "../../../lib/cohort/begin/consider/mod.ts";
import { codesOf, decisionOf } from "../../../lib/cohort/begin/answers.ts";
import { dictionaryColumn } from "../../../lib/cohort/dictionary/mod.ts";

// All expectations by hand.
const grade = (text: string, fractions = false) => oddGrade(text, { most: 4, fractions });

Deno.test("oddGrade() understands grades in signs, numerals and words, and asks where two could be", () => {
  for (
    const [text, value] of [
      ["2+", 2],
      ["III", 3],
      ["grade 2", 2],
      ["II°", 2],
      ["mild", 1],
      ["trace", 0],
      ["Leicht", 1],
      ["MR 3", 3],
      ["mod-severe", 3],
      ["moderate to severe", 3],
      ["Moderate-Severe", 3],
      ["mod/sev", 3],
      ["mittel bis schwer", 3],
    ] as const
  ) deepEqual(grade(text), { kind: "exact", value }, text);
  for (const text of ["mild-mod", "1-2", "I-II", "1/2", "mild to moderate", "1.5", "1,5"]) {
    deepEqual(grade(text), { kind: "between", low: 1, high: 2 }, text);
  }
  deepEqual(grade("2/4", true), { kind: "exact", value: 2 });
  for (const text of ["V", "5", "perhaps", "2-1", ""]) equal(grade(text), null, text);
  equal(areFractions(["1/4", "3/4"], 4), true);
  equal(areFractions(["1/2", "3/4"], 4), false);
});

Deno.test("oddNumber() understands a unit behind, a range, a bound and a rough number", () => {
  deepEqual(oddNumber("55 %", ".", "%"), { kind: "exact", value: 55 });
  deepEqual(oddNumber("55,5%", ",", "%"), { kind: "exact", value: 55.5 });
  deepEqual(oddNumber("55-60", ".", "%"), { kind: "between", low: 55, high: 60 });
  deepEqual(oddNumber(">60", ".", "%"), { kind: "bound", value: 60 });
  deepEqual(oddNumber("ca. 55", ".", "%"), { kind: "about", value: 55 });
  // the other mark is a decimal one where it cannot be a thousand's, and never no number at all
  deepEqual(oddNumber("55,5", ".", "%"), { kind: "exact", value: 55.5 });
  deepEqual(oddNumber("ca. 5.25", ",", "mm"), { kind: "about", value: 5.25 });
  equal(oddNumber("1,250", ".", "mm"), null);
  for (const text of ["5.5 cm", "good", "60-55"]) equal(oddNumber(text, ".", "mm"), null, text);
});

Deno.test("decisionOf() and codesOf() read what a person answers", () => {
  deepEqual(decisionOf("patients", "lvedd cm"), { as: "column", columns: ["lvedd"], unit: "cm" });
  deepEqual(decisionOf("patients", "intended, final"), {
    as: "column",
    columns: ["intended", "final"],
  });
  deepEqual(decisionOf("patients", "ignore: the ward"), { as: "ignore", why: "the ward" });
  equal(decisionOf("patients", "nothing known"), null);
  const dead = dictionaryColumn("patients", "dead")!;
  deepEqual(codesOf(dead, "1=alive; 2=dead"), { codes: { "1": 0, "2": 1 }, open: [] });
  deepEqual(codesOf(dead, "2=dead; 9=open"), { codes: { "2": 1 }, open: ["9"] });
  // a value that holds a sign of the answer itself stands in quotation marks
  deepEqual(codesOf(dead, '"a; b=c"=dead; "say ""so"""=alive'), {
    codes: { "a; b=c": 1, 'say "so"': 0 },
    open: [],
  });
  equal(codesOf(dead, "1=perhaps"), null);
});
