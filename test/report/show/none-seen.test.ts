import assert from "node:assert/strict";
import { findingSentence } from "../../../lib/report/show/mod.ts";
import { finding } from "../../../lib/report/show/finding.ts";

type Share = [estimate: number, lower: number, upper: number];

/** The first half of a finding's sentence, about two groups with these shares. */
function said(
  quantity: "reoperation" | "alive",
  [first, second]: [Share, Share],
): string {
  const group = (label: string, [estimate, lower, upper]: Share) => (
    { label, estimate, lower, upper, n: 100 }
  );
  const item = finding({
    id: "example",
    endpoint: quantity === "alive" ? "death" : "reoperation",
    quantity,
    horizon: 5,
    design: "matched",
    estimand: "matched sample",
    groups: [group("Repair", first), group("Replacement", second)],
    difference: { estimate: first[0] - second[0], lower: -0.3, upper: 0.3 },
    tableId: "example-table",
  });
  return findingSentence(item).split(". Plausible")[0]!;
}

// by hand: no event is no certainty, nor is survival of all
const some: Share = [0.12, 0.06, 0.2];
const none: Share = [0, 0, 0.031];

Deno.test("findingSentence() says that none was seen, and how many would fit", () => {
  assert.equal(
    said("reoperation", [some, none]),
    "Of 100 matched patients, about 12 were reoperated on within 5 years after repair and none " +
      "after replacement (up to 3 would fit)",
  );
  assert.equal(
    said("reoperation", [none, some]),
    "Of 100 matched patients, none were reoperated on within 5 years after repair (up to 3 would " +
      "fit) and about 12 after replacement",
  );
  // of 1,000 where few had it in either group
  assert.match(
    said("reoperation", [[0.012, 0.004, 0.03], [0, 0, 0.0125]]),
    /^Of 1,000 .* about 12 .* none after replacement \(up to 13 would fit\)/,
  );
});

Deno.test("findingSentence() takes a few for no none, and all for no certainty", () => {
  assert.match(said("reoperation", [some, [0.002, 0, 0.02]]), /and fewer than 1 after repl/);
  assert.match(
    said("alive", [[1, 0.962, 1], [0.9, 0.8, 0.95]]),
    /, all were alive 5 years after repair \(no fewer than 96 would fit\) and about 90 after/,
  );
  assert.match(said("alive", [[0.9, 0.8, 0.95], [0.998, 0.97, 1]]), /about 100 after/);
});
