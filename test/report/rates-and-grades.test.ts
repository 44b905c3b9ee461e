import assert from "node:assert/strict";
import { gradesOverTime } from "../../lib/competing/mod.ts";
import { linearisedRates } from "../../lib/regression/mod.ts";
import { expectedTable } from "../../lib/report/tables/expected-table.ts";
import {
  drawableShares,
  gradeTable,
  publishableGrades,
} from "../../lib/report/tables/grade-table.ts";
import { type RateLine, rateTable } from "../../lib/report/tables/rate-table.ts";
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

Deno.test("rateTable() tells neither a kind of event nor a period by what it leaves of the whole", () => {
  // 60 repairs followed five years: so many events early, at day 1, and late, at two years
  const line = (
    id: string,
    early: number,
    late: number,
    more: Partial<RateLine> = {},
  ): RateLine => ({
    id,
    label: id,
    rates: linearisedRates({
      time: Array.from({ length: 60 }, (_, i) => i < early ? 1 / 365 : i < early + late ? 2 : 5),
      event: Array.from({ length: 60 }, (_, i) => i < early + late ? 1 : 0),
      group: Array.from({ length: 60 }, () => 1),
    }),
    ...more,
  });
  const { rows } = rateTable({ ...heading, smallestCell: 11 }, [
    line("any", 0, 51),
    line("leak", 0, 42, { within: "any" }),
    line("stenosis", 0, 5, { within: "any" }),
    line("death", 4, 30, { totalShown: true }),
    line("other", 4, 30),
  ]);
  // by hand: 51 - 42 is 9; 34 - 30 is 4
  assert.deepEqual(rows.map(({ late }) => late), [51, "> 40", "< 11", "> 23", 30]);
  assert.deepEqual(rows.map(({ early }) => early), [0, 0, 0, "< 11", "< 11"]);
  assert.match(String(rows[1]!.rate), /^> /);
  assert.deepEqual([rows[1]!.lower, rows[1]!.constant, rows[3]!.upper], [null, null, null]);
});

Deno.test("publishableGrades() bounds those followed and graded by what is told of the same patients", () => {
  const n = 60;
  const patients = Array.from({ length: n }, (_, i) => i);
  // 6 are not looked at; 4 had left before the first year
  const groups = gradesOverTime({
    time: patients.map((i) => i < 4 ? 0.2 : 2),
    event: patients.map(() => 0),
    group: patients.map(() => 1),
    visits: {
      subject: patients.slice(10),
      time: patients.slice(10).map(() => 1),
      grade: patients.slice(10).map(() => 0),
    },
  }, { times: [1] });
  const alive = (atRisk: number) => [{ group: 1, curve: { time: [5], atRisk: [atRisk] } }];
  const shown = (atRisk: number) =>
    publishableGrades(groups, { alive: alive(atRisk), smallestCell: 11 })[0]!.at[0]!.shown;
  // by hand: 56 followed, 50 graded
  assert.deepEqual([shown(56).followed, shown(56).graded], [56, "> 45"]);
  assert.deepEqual([shown(60).followed, shown(60).graded], ["> 49", "> 49"]);
  assert.deepEqual([shown(90).followed, shown(90).graded], [56, "> 45"]);
  const table = (atRisk: number) =>
    gradeTable(
      { ...heading, smallestCell: 11 },
      publishableGrades(groups, { alive: alive(atRisk), smallestCell: 11 }),
    ).rows[0]!;
  assert.deepEqual([table(60).followed, table(60).notLooked], ["> 49", null]);
});

Deno.test("publishableGrades() says which shares a small count has moved", () => {
  // 100 patients looked at once, at one year: 60 with none, 20 with 1+, 4 with 2+, 16 with 3+
  const patients = Array.from({ length: 100 }, (_, i) => i);
  const groups = gradesOverTime({
    time: patients.map(() => 2),
    event: patients.map(() => 0),
    group: patients.map(() => 1),
    visits: {
      subject: patients,
      time: patients.map(() => 1),
      grade: patients.map((i) => i < 60 ? 0 : i < 80 ? 1 : i < 84 ? 2 : 3),
    },
  }, { times: [1] });
  const { shown } = publishableGrades(groups, { alive: [], smallestCell: 11 })[0]!.at[0]!;
  // by hand: the 4 are drawn as another number, and 3+ gives or takes the rest of the 20
  assert.deepEqual(shown.exact.grades.slice(0, 4), [true, true, false, false]);
  assert.deepEqual(shown.exact.ofAll, [true, false, false, true, true]);
  shown.grades.forEach((share, k) => {
    const found = [0.6, 0.2, 0.04, 0.16, 0][k] ?? NaN;
    assert.equal(Math.abs(share - found) < 1e-9, shown.exact.grades[k]);
  });
});

Deno.test("expectedTable() leaves out what few deaths would follow from", () => {
  const line = { group: "R", expected: 4, ratio: 2, lower: 1, upper: 3, usual: 0.91234 };
  const { rows } = expectedTable({ id: "t", title: "T", caption: "C", smallestCell: 11 }, [
    { ...line, observed: 8 },
    { ...line, observed: 30 },
  ]);
  assert.deepEqual(rows[0], {
    group: "R",
    observed: "< 11",
    expected: null,
    ratio: null,
    lower: null,
    upper: null,
    usual: 0.912,
  });
  assert.equal(rows[1]!.observed, 30);
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
