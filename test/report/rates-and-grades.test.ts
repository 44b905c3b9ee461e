import assert from "node:assert/strict";
import { gradesOverTime } from "../../lib/competing/mod.ts";
import { linearisedRates } from "../../lib/regression/mod.ts";
import { drawableShares, gradeTable } from "../../lib/report/grade-table.ts";
import { rateTable } from "../../lib/report/rate-table.ts";
import { assertClose } from "../close.ts";

const labels = { repair: "Repair", replacement: "Replacement" };
const heading = { id: "t", title: "T", caption: "C", labels };

Deno.test("rateTable() bounds the rate of a count too small to publish", () => {
  const copies = (n: number, value: number) => Array.from({ length: n }, () => value);
  const rates = linearisedRates({
    time: copies(60, 5),
    event: [...copies(20, 1), ...copies(10, 0), ...copies(3, 1), ...copies(27, 0)],
    group: [...copies(30, 1), ...copies(30, 0)],
  }, { cuts: [1] });
  const { rows } = rateTable({ ...heading, smallestCell: 11 }, [{ label: "Event", rates }]);
  const [repair, replacement] = rows;
  assert.equal(repair!.late, 20);
  assert.equal(typeof repair!.rate, "number");
  assert.equal(replacement!.late, "< 11");
  assert.equal(replacement!.lower, null);
  assert.equal(replacement!.constant, null);
  // by hand: 11 events in 30 x (5 years - 30 days) is the bound
  assert.equal(replacement!.rate, `< ${(1100 / (30 * (5 - 30 / 365.25))).toFixed(2)}`);
});

Deno.test("gradeTable() leaves out shares that would tell a small count", () => {
  const n = 40;
  const grade = Array.from({ length: n }, (_, i) => i < 5 ? 3 : i < 20 ? 2 : 0);
  const at = gradesOverTime({
    time: grade.map(() => 2),
    event: grade.map(() => 0),
    group: grade.map(() => 1),
    visits: { subject: grade.map((_, i) => i), time: grade.map(() => 1), grade },
  }, { times: [1] });
  const [row] = gradeTable({ ...heading, smallestCell: 11 }, at).rows;
  assert.equal(row!.found, 0.5);
  assert.equal(row!.worst, null); // 5 patients
  assert.equal(row!.notLooked, 0);
  assert.equal(gradeTable({ ...heading, smallestCell: 11, from: 3 }, at).rows[0]!.found, null);
  assert.equal(gradeTable({ ...heading, smallestCell: 11, from: 3 }, at).rows[0]!.leaking, null);
});

Deno.test("drawableShares() hides which small count it was, and adds up to 1", () => {
  const shown = [1, 4, 10].map((few) => drawableShares([100 - few, few], 11));
  for (const shares of shown) assert.deepEqual(shares, shown[0]);
  assertClose(shown[0]![1]!, Math.sqrt(10) / 100);
  assert.deepEqual(drawableShares([80, 20, 0], 11), [0.8, 0.2, 0]);
  // 20 in the last two are told elsewhere: 15 drawn as they are would tell of 5, so 5 may be 1 or 9
  const told = [[80, 15, 5], [80, 19, 1]].map((counts) =>
    drawableShares(counts, 11, { told: [1] })
  );
  assert.deepEqual(told[0], told[1]);
  assertClose(told[0]![1]! + told[0]![2]!, 0.2);
  assert.ok(drawableShares([3, 2], 11).every(Number.isNaN));
  assertClose(drawableShares([9, 8, 7], 11).reduce((sum, share) => sum + share, 0), 1);
});
