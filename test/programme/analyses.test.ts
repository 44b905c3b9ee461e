import assert from "node:assert/strict";
import {
  durableRepair,
  hardestTypes,
  isWithheld,
  programmeComplexity,
  programmeLearning,
  programmeOperations,
  programmeReferral,
  surgeonRatesAgainst,
  yearlyChanges,
  yearlyDurable,
} from "mitral";
import { followedOperations } from "../../lib/programme/analyses/followed.ts";
import { publishableTypes } from "../../lib/report/programme-tables/complexity.ts";
import { assertClose } from "../close.ts";
import { analysis, cohort } from "../demo-analysis.ts";

const operations = programmeOperations(analysis, cohort);
const complexity = programmeComplexity(operations, { replicates: 20 });
assert.ok(!isWithheld(complexity));

// Identity: parts of the hardest fifth add up to it, and those of a rank share its edge evenly.
Deno.test("hardestTypes() shares out the hardest fifth", () => {
  const types = hardestTypes(operations, complexity);
  const sum = (of: (one: typeof types[number]) => number) =>
    types.reduce((total, one) => total + of(one), 0);
  assertClose(sum(({ shareOfHardest }) => shareOfHardest), 1, { relative: 1e-9, absolute: 0 });
  assertClose(sum(({ shareOfAll }) => shareOfAll), 1, { relative: 1e-9, absolute: 0 });
  assert.equal(sum(({ n }) => n), operations.n);
  assert.ok(types.every(({ among, n }) => among <= n));
  // valves on which rheumatic disease or both leaflets weigh are harder than posterior prolapse
  const of = (type: string) => types.find((one) => one.type.includes(type))!;
  assert.ok(of("rheumatic").shareOfHardest > of("rheumatic").shareOfAll);
  assert.ok(of("posterior").shareOfHardest < of("posterior").shareOfAll);
  const all = hardestTypes(operations, complexity, { share: 1 });
  assert.ok(
    all.every(({ shareOfHardest, shareOfAll }) => Math.abs(shareOfHardest - shareOfAll) < 1e-9),
  );
});

// By hand: with a smallest cell of 11, kinds with 1 and 0 among the hardest join the next least
// until 13 are together.
Deno.test("publishableTypes() puts kinds together where few are in the hardest fifth, or out of it", () => {
  const kind = (type: string, n: number, among: number) => ({
    type,
    n,
    among,
    shareOfHardest: among / 100,
    shareOfAll: n / 500,
  });
  const told = publishableTypes(
    [kind("a", 100, 60), kind("b", 80, 27), kind("c", 200, 12), kind("d", 90, 1), kind("e", 30, 0)],
    11,
  );
  assert.deepEqual(told.map(({ type, n, among }) => [type, n, among]), [
    ["a", 100, 60],
    ["b", 80, 27],
    ["all other kinds", 320, 13],
  ]);
  assertClose(told[2]!.shareOfHardest, 0.13);
  assert.deepEqual(publishableTypes([kind("a", 12, 5)], 11), []);
});

Deno.test("programmeLearning() has outcomes that the file has, and from three surgeons on", () => {
  const one = { ...operations, code: operations.code.map(() => operations.code[0]!) };
  for (
    const [outcome, column] of [["clamp-time", "clamp"], ["residual-leak", "mr_exit"]] as const
  ) {
    const { [column]: _, ...columns } = analysis.columns;
    const lacking = { ...one, analysis: { ...analysis, columns } };
    const why = (of: typeof operations) => {
      const found = programmeLearning(of, outcome, complexity.score.points);
      return isWithheld(found) ? found.why : "";
    };
    assert.equal(why(lacking), "The file does not have this outcome.");
    assert.equal(why(one), "Fewer than three surgeons have a known experience.");
  }
});

// Identity: what is known at the horizon stands for those lost, so that the years' shares are those
// of Aalen and Johansen in each year.
Deno.test("yearlyDurable() follows what lasted, year by year", () => {
  const horizon = 5;
  const trend = yearlyDurable(operations, { horizon });
  assert.ok(!isWithheld(trend));
  const { rows, ...data } = followedOperations(operations);
  const group = Array.from(rows, (row) => operations.year[row]!);
  const whole = durableRepair({ ...data, group }, { times: [horizon] });
  assert.ok(trend.years.length >= 5);
  for (const { year, observed } of trend.years) {
    const own = whole.find((one) => one.group === year)!;
    assertClose(observed.estimate, own.durable.estimate, { relative: 1e-9, absolute: 1e-12 });
    assert.ok(observed.lower < observed.estimate && observed.estimate < observed.upper);
    assert.ok(own.atRisk + 1 >= analysis.study.smallestAtRisk);
  }
  // recent years are not watched for so long
  const last = Math.max(...trend.years.map(({ year }) => year));
  assert.ok(last <= Math.max(...operations.year) - horizon + 1);
  // no change at a date that the plan does not name
  const dates = analysis.study.programme.dates.map(({ at }) => at);
  assert.ok(trend.changes.every(({ date }) => dates.includes(date)));
  const changes = yearlyChanges(operations, complexity.score.points);
  assert.deepEqual(changes.map(({ what }) => what), [
    "Repaired",
    "Repaired and lasting 1 year",
    "Repaired and lasting 5 years",
    "Age, years",
    "Secondary regurgitation",
    "Points of the complexity score",
  ]);
});

// By hand, from the columns: a repair that failed by a year, one known not to have,
// one lost before.
Deno.test("programmeLearning() of early failure takes the study's own definition and first horizon", () => {
  const learning = programmeLearning(operations, "early-failure", complexity.score.points);
  assert.ok(!isWithheld(learning));
  const { rows, repaired, time, event } = followedOperations(operations);
  const known = [...rows.keys()].filter((k) => {
    const row = rows[k]!;
    return operations.attempted[row] === 1 && repaired[k] === 1 &&
      !Number.isNaN(operations.experience[row]!) &&
      (time[k]! >= 1 || event[k]! > 0);
  });
  assert.equal(learning.n, known.length);
  assert.equal(
    learning.events,
    known.filter((k) => event[k] === 1 && time[k]! <= 1).length,
  );
});

Deno.test("surgeonRatesAgainst() compares with the plan's target, not the programme's rate", () => {
  const found = surgeonRatesAgainst(operations);
  assert.ok(!isWithheld(found));
  assert.equal(found.target.id, "degenerative");
  const degenerative = found.units.reduce((sum, { n }) => sum + n, 0);
  assert.ok(degenerative < operations.n);
  // expected repairs are nine tenths of all, whoever the patients are
  const expected = found.units.reduce((sum, unit) => sum + unit.expected, 0);
  assertClose(expected / degenerative, 0.9, { relative: 1e-6, absolute: 0 });
  assert.ok(isWithheld(surgeonRatesAgainst(operations, "no such target")));
});

Deno.test("programmeReferral() says on how many surgeons it rests, and came true out of its sample", () => {
  const referral = programmeReferral(operations);
  assert.ok(!isWithheld(referral));
  const all = new Set(operations.code.filter((code) => code !== "")).size;
  for (const { n, surgeons, surgeonsOfBand } of referral.cells) {
    assert.ok(surgeons! >= (n > 0 ? 1 : 0) && surgeons! <= surgeonsOfBand!);
    assert.ok(surgeonsOfBand! <= all);
  }
  const { area, brier, calibration } = referral.quality;
  assert.ok(area > 0.6 && area < 0.85 && brier.scaled > 0.05);
  assert.ok(
    calibration.observedOverExpected.lower < 1 && calibration.observedOverExpected.upper > 1,
  );
  assert.ok(calibration.slope.lower < 1 && calibration.slope.upper > 0.8);
});
