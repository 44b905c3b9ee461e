import assert from "node:assert/strict";
import { unknownTable } from "mitral";

const labels = { repair: "Repair", replacement: "Replacement" };

Deno.test("unknownTable() has the difference for every share supposed, in each group", () => {
  // by hand: 4 replaced, 1 with the event, 1 not known; 5 repaired, 1 with, 2 not known
  const shown = unknownTable({ id: "unknown", title: "T", caption: "C" }, {
    state: [1, 0, 0, NaN, 1, 0, 0, NaN, NaN],
    treated: [0, 0, 0, 0, 1, 1, 1, 1, 1],
  }, { labels });
  const { rows, columns } = shown;
  assert.deepEqual(rows.map(({ share }) => share), ["0%", "25%", "50%", "75%", "100%"]);
  const near = (value: unknown, expected: number) =>
    assert.ok(Math.abs(Number(value) - expected) < 1e-9, `${value} for ${expected}`);
  near(rows[0]!.share0, 20 - 25);
  near(rows[0]!.share4, 60 - 25);
  near(rows[4]!.share0, 20 - 50);
  near(rows[4]!.share4, 60 - 50);
  near(rows[4]!.share2, 40 - 50);
  assert.equal(columns[0]!.label, "Of those not known, had it: Replacement");
  assert.deepEqual(columns.slice(1).map(({ label }) => label), [
    "Repair: 0%",
    "Repair: 25%",
    "Repair: 50%",
    "Repair: 75%",
    "Repair: 100%",
  ]);
});
