import assert from "node:assert/strict";
import { seal, shown, text } from "./sealed.ts";

// By hand: 4 of 30 and 14 of 30 have diabetes, a difference of -0.781. 3 would give -0.891, 5
// -0.681.
const columns = (n: number) => [
  text("characteristic", "Characteristic"),
  text("before.repair", `Repair (n\u00a0=\u00a0${n})`),
  text("before.replacement", `Replacement (n\u00a0=\u00a0${n})`),
  text("before.difference", "Standardised difference"),
];
const characteristics = (
  n: number,
  rows: readonly (readonly [string, string, string, string])[],
) =>
  shown({
    id: "characteristics",
    title: "Characteristics",
    caption: "",
    columns: columns(n),
    rows: rows.map(([characteristic, first, second, difference]) => ({
      characteristic,
      "before.repair": first,
      "before.replacement": second,
      "before.difference": difference,
    })),
  });

Deno.test("sealRuns() finds a hidden count from a standardised difference to one decimal", () => {
  const { proof, outputs } = seal(
    characteristics(30, [
      ["Sex, male", "15 (50%)", "15 (50%)", "0.00"],
      ["Diabetes", "\u2013", "14 (47%)", "\u22120.8"],
    ]),
  );
  assert.deepEqual(proof.pinned, []);
  assert.deepEqual(proof.withheld, ["characteristics, row 2, before.difference"]);
  assert.ok(!JSON.stringify(outputs).includes("\u22120.8"));
});

Deno.test("sealRuns() finds the hidden levels of a category from its difference", () => {
  // by a search over all 100 x 1 fillings: 0.29 leaves no more than two numbers of urgent
  const { proof } = seal(
    characteristics(
      100,
      [
        ["Urgency", "", "", "0.29"],
        ["\u2003elective", "90 (90%)", "80 (80%)", ""],
        ["\u2003urgent", "\u2013", "15 (15%)", ""],
        ["\u2003emergency", "\u2013", "5 (5%)", ""],
      ].map((row) => row as [string, string, string, string]),
    ),
  );
  assert.ok(
    proof.withheld.includes("characteristics, row 1, before.difference"),
    proof.withheld.join(),
  );
});

Deno.test("sealRuns() leaves a difference to one decimal among many patients", () => {
  const { proof } = seal(characteristics(800, [["Diabetes", "\u2013", "160 (20%)", "\u22120.6"]]));
  assert.deepEqual([proof.withheld, proof.pinned], [[], []]);
  assert.ok(proof.possibleValues["Repair: Diabetes"]! >= 5);
});
