import assert from "node:assert/strict";
import fc from "fast-check";
import { gradesOverTime } from "../../../lib/competing/mod.ts";
import { gradeFigure } from "../../../lib/figures/over-time/grade-figure.ts";
import { linearisedRates } from "../../../lib/regression/mod.ts";
import { expectedTable } from "../../../lib/report/tables/expected-table.ts";
import {
  gradeBars,
  gradeTable,
  publishableGrades,
} from "../../../lib/report/tables/grade-table.ts";
import { type RateLine, rateTable } from "../../../lib/report/tables/rate-table.ts";
import { readSvg } from "../../figures/drawing/read-svg.ts";

const labels = { repair: "Repair", replacement: "Replacement" };
const heading = { id: "t", title: "T", caption: "C", labels };
const grades = ["None or trace", "1+", "2+", "3+", "4+"];

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
      { ...heading, grades, smallestCell: 11 },
      publishableGrades(groups, { alive: alive(atRisk), smallestCell: 11 }),
    ).rows[0]!;
  assert.deepEqual([table(60).followed, table(60).notLooked], ["> 49", null]);
});

/**
 * Patients of one group, each looked at once at one year, so many in each grade; others are not.
 */
function lookedAt(counts: readonly number[], { others = 0, at = 1 } = {}) {
  const grade = counts.flatMap((count, g) => Array.from({ length: count }, () => g));
  const patients = Array.from({ length: grade.length + others }, (_, i) => i);
  return gradesOverTime({
    time: patients.map(() => 6),
    event: patients.map(() => 0),
    group: patients.map(() => 1),
    visits: { subject: grade.map((_, i) => i), time: grade.map(() => at), grade },
  }, { times: [at] })[0]!;
}

const publishable = (group: ReturnType<typeof lookedAt>) =>
  publishableGrades([group], { alive: [], smallestCell: 11 })[0]!;

Deno.test("publishableGrades() joins a grade that too few have with its neighbour", () => {
  // by hand: 4 with 2+ stay with the 16 worse; 20 of 100 may be told
  const { shown } = publishable(lookedAt([60, 20, 4, 16, 0])).at[0]!;
  assert.deepEqual(shown.cuts, [1, 2, 4]);
  assert.deepEqual(shown.orWorse, [1, 0.4, 0.2, null, 0]);
});

Deno.test("publishableGrades() tells no grade where most were not looked at", () => {
  const { shown } = publishable(lookedAt([60, 20, 4, 16, 0], { others: 101 })).at[0]!;
  assert.deepEqual(shown.orWorse, [null, null, null, null, null]);
  assert.match(shown.notTold ?? "", /fewer than half/);
  assert.equal(
    publishable(lookedAt([60, 40, 0, 0, 0], { others: 100 })).at[0]!.shown.notTold,
    undefined,
  );
});

Deno.test("every bar of grades is drawn as high as its published share (property)", () => {
  const counts = fc.array(fc.integer({ min: 0, max: 60 }), { minLength: 5, maxLength: 5 });
  fc.assert(
    fc.property(fc.array(counts, { minLength: 1, maxLength: 4 }), (visits) => {
      const at = visits.map((one, k) => publishable(lookedAt(one, { at: k + 1 })).at[0]!);
      const group = { group: 1, patients: 400, at };
      const times = at.map(({ time }) => ({ time, label: `${time} y` }));
      const bars = gradeBars(group, { label: "Repair", grades, times });
      const { rows } = gradeTable({ ...heading, grades, smallestCell: 11 }, [group]);
      const { svg } = gradeFigure({ id: "g", title: "G", caption: "", grades, groups: [bars] });
      const drawn = readSvg(svg).filter((e) => e.part === "grade" && e.name === "rect");
      const frame = 230; // 48% of the width of 480 units
      const starts = bars.grades!.map(({ from }) => from);
      const expected = rows.flatMap((row) => {
        if (at[Number(row.years) - 1]!.shown.notTold) return [];
        // all of those looked at have the least grade or worse, so the table has no column for it
        const told = starts.map((from) => from === 0 ? 1 : Number(row[`from${from}`]));
        return told.map((share, k) => share - (told[k + 1] ?? 0));
      });
      assert.equal(drawn.length, expected.length);
      drawn.forEach((rect, k) => {
        const height = Number(rect.attribute("height"));
        // edges of bars are drawn to a tenth of a unit
        assert.ok(Math.abs(height - frame * expected[k]!) <= 0.2, `${height}, ${expected[k]}`);
      });
      // and nobody can work out a small count from what stands in the table
      for (const { counts, graded, shown } of at) {
        const told = shown.orWorse.map((share) =>
          share === null ? null : Math.round(share * graded)
        );
        const parts = told.filter((n) => n !== null);
        parts.forEach((n, k) => {
          const part = n - (parts[k + 1] ?? 0);
          assert.ok(part === 0 || part >= 11, `${counts}`);
        });
      }
    }),
    { seed: 7, numRuns: 60 },
  );
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
  // 20 with none, 15 with 2+, 5 with 3+: the 5 stay with the 15
  const table = gradeTable({ ...heading, grades, smallestCell: 11 }, [
    publishable(lookedAt([20, 0, 15, 5, 0])),
  ]);
  const [row] = table.rows;
  assert.deepEqual([row!.from1, row!.from2, row!.from3, row!.from4], [0.5, 0.5, null, 0]);
  assert.equal(row!.notLooked, 0);
  assert.deepEqual(table.columns.slice(4).map(({ label }) => label), [
    "1+ or worse",
    "2+ or worse",
    "3+ or worse",
    "4+",
  ]);
});
