import assert from "node:assert/strict";
import { leakAtVisits, proportionOverTime, SeededRandom } from "mitral";

/**
 * Patients looked at each year; those who leak from some year on come once more, half a year later,
 * for symptoms. Invented.
 */
function history(n: number) {
  const random = new SeededRandom(5);
  const rows: number[][] = [];
  for (let i = 0; i < n; i++) {
    const treated = i % 2;
    const onset = 8 * random.uniform() * (treated === 1 ? 1 : 2);
    let since = 0;
    let last = 0;
    let called = 0;
    const look = (at: number, symptoms: number) => {
      const grade = at >= onset ? 2 : 0;
      rows.push([i, since, at, 1, treated, last, called, grade, symptoms]);
      [since, last, called] = [at, grade, symptoms];
    };
    for (let year = 1; year <= 5; year++) {
      look(year, 0);
      if (year >= onset) look(year + 0.3 + 0.3 * random.uniform(), 1);
    }
    rows.push([i, since, since + 0.2, 0, treated, last, called, NaN, 0]);
  }
  const column = (k: number) => Float64Array.from(rows, (row) => row[k]!);
  return {
    subject: column(0),
    entry: column(1),
    time: column(2),
    visit: column(3),
    treated: column(4),
    lastGrade: column(5),
    lastForSymptoms: column(6),
    grade: column(7),
    forSymptoms: column(8),
  };
}

const data = history(300);
const weight = new Float64Array(300).fill(1);
const times = [1, 3, 5];

Deno.test("leakAtVisits() as seen is the smooth proportion of all visits (identity)", () => {
  const { shares, visits } = leakAtVisits(data, { weight, times });
  const seen = Array.from(visits.rows);
  const plain = proportionOverTime({
    subject: seen.map((row) => data.subject[row]!),
    time: seen.map((row) => data.time[row]!),
    outcome: seen.map((row) => data.grade[row]! >= 2 ? 1 : 0),
    group: seen.map((row) => data.treated[row]!),
  }, { times });
  plain.groups.forEach(({ proportion }, g) =>
    proportion.forEach((share, k) =>
      assert.ok(Math.abs(share - shares["as-seen"].groups[g]!.proportion[k]!) < 1e-8)
    )
  );
});

Deno.test("leakAtVisits() shows fewer leaks once visits for symptoms count less", () => {
  const { shares } = leakAtVisits(data, { weight, times });
  const repair = (way: keyof typeof shares) => shares[way].groups[1]!.proportion[1]!;
  // by hand: a leak by 3 of 8 years; seen more often, because leaking valves are looked at twice
  assert.ok(Math.abs(repair("on-schedule") - 3 / 8) < 0.06);
  assert.ok(repair("as-seen") > repair("on-schedule") + 0.08);
  assert.ok(repair("by-visit-rate") < repair("as-seen"));
});

Deno.test("leakAtVisits() weighs patients: two of weight 2 count as four", () => {
  const once = leakAtVisits(data, { weight, times }).shares["on-schedule"];
  const twice = leakAtVisits(data, { weight: weight.map(() => 2), times }).shares["on-schedule"];
  const from3 = leakAtVisits(data, { weight, times, from: 3 }).shares["as-seen"];
  assert.ok(Math.abs(once.groups[0]!.proportion[2]! - twice.groups[0]!.proportion[2]!) < 1e-8);
  assert.ok(from3.groups.every(({ events }) => events === 0));
});
