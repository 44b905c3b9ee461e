import assert from "node:assert/strict";
import { contradictions, numbersIn, type Said } from "./sentence-numbers.ts";

// By hand: two groups, 0.825 and 0.816 at 5 years, difference 0.009 (-0.044 to 0.061).
const findings = [{
  horizon: 5,
  groups: [{ estimate: 0.825 }, { estimate: 0.816 }],
  difference: { estimate: 0.009, lower: -0.044, upper: 0.061 },
}];
const said = (...sentences: string[]): Said => ({
  sentences,
  findings,
  numbers: [...numbersIn({ findings, plan: "1,036 patients", months: 4.025 }), 100],
});

const honest = [
  "Of 100 patients, about 83 were alive 5 years after an intended repair and about 82 after an intended replacement.",
  "Plausible range of the difference: 4 fewer to 6 more per 100 after an intended repair.",
  "1,036 patients were analysed: 48.3 months were lived without a recurrence found.",
  "Report made with plan 197223803935, cohort file 017953866935, of what was analysed here.",
];

Deno.test("sentences that say what the findings say are left alone", () => {
  assert.deepEqual(contradictions(said(...honest)), []);
});

Deno.test("a whole number may be either neighbour of a half that was published, and no other", () => {
  // 0.825 may have been 0.8246
  const asTold = (whole: number) => contradictions(said(honest[0]!.replace("83", `${whole}`)));
  assert.deepEqual([82, 83].flatMap(asTold), []);
  for (const whole of [81, 84]) assert.match(asTold(whole).join("\n"), /two groups/);
  // 0.816 is no half
  const second = contradictions(said(honest[0]!.replace("about 82", "about 81")));
  assert.match(second.join("\n"), /two groups/);
});

Deno.test("what is told of 1,000 is a thousand times a proportion, and nothing told of 100 is", () => {
  const few = (sentence: string) =>
    contradictions({ ...said(sentence), numbers: [...said().numbers, 0.012, 1000, 5] });
  const sentence = "Of 1,000 patients like all those studied, about 12 were reoperated on by then.";
  assert.deepEqual(few(sentence), []);
  assert.match(few(sentence.replace("12", "13")).join(), /13 is in no finding/);
  assert.match(few(sentence.replace("1,000", "100")).join(), /12 is in no finding/);
});

const planted: [what: string, sentence: string, why: RegExp][] = [
  ["a number 100 times too large", honest[0]!.replace("83", "8250"), /8250 is in no finding/],
  [
    "groups exchanged",
    honest[0]!.replace("83", "X").replace("82", "83").replace("X", "82"),
    /two groups/,
  ],
  ["another horizon", honest[0]!.replace("5 years", "100 years"), /two groups/],
  [
    "a range turned round",
    honest[1]!.replace("4 fewer to 6 more", "6 fewer to 4 more"),
    /this range/,
  ],
  ["a lost sign", honest[1]!.replace("4 fewer to", "4 to"), /this range/],
  ["years told as months", honest[2]!.replace("48.3", "40.3"), /40\.3 is in no/],
];
for (const [what, sentence, why] of planted) {
  Deno.test(`contradictions() finds ${what}`, () => {
    assert.match(contradictions(said(sentence)).join("\n"), why);
  });
}

Deno.test("a narrow range is held to its decimals, and one that reads about to both limits", () => {
  const narrow = [{
    horizon: 5,
    groups: [{ estimate: 0.853 }, { estimate: 0.703 }],
    difference: { estimate: 0.15, lower: 0.148, upper: 0.153 },
  }];
  const told = (sentence: string, findings = narrow) =>
    contradictions({ sentences: [sentence], findings, numbers: [...numbersIn({ findings }), 100] })
      .join("\n");
  const shares =
    "Of 100 patients, about 85.3 were alive 5 years after repair and about 70.3 after replacement.";
  const range = (words: string) =>
    `Plausible range of the difference: ${words} per 100 after repair.`;
  assert.equal(told(shares), "");
  assert.match(told(shares.replace("85.3", "85.4")), /two groups/);
  assert.equal(told(range("14.8 to 15.3 more")), "");
  assert.match(told(range("14.8 to 15.2 more")), /this range/);
  assert.match(told(range("14.8 to 15.3 fewer")), /this range/);
  const same = [{ ...narrow[0]!, difference: { estimate: 0.15, lower: 0.15, upper: 0.15 } }];
  assert.equal(told(range("about 15 more"), same), "");
  assert.match(told(range("about 15 fewer"), same), /this range/);
  assert.match(told(range("about 16 more"), same), /this range/);
});
