import assert from "node:assert/strict";
import {
  durableByVolume,
  isWithheld,
  programmeComplexity,
  programmeMonitoring,
  programmeOperations,
  programmeReferral,
  spreadSentence,
  spreadTable,
  surgeonRates,
  yearlyTrend,
} from "mitral";
import { cohortParameters } from "../../lib/simulate/mechanism/parameters.ts";
import { analysis, cohort } from "../demo-analysis.ts";
import { onCut, type Row } from "../hostile/cut-cohort.ts";

// The demonstration's cohort, whose true effects are known (see lib/simulate).
Deno.test("the demonstration's programme shows what was put into it", () => {
  const operations = programmeOperations(analysis, cohort);
  const rates = surgeonRates(operations);
  assert.ok(!isWithheld(rates));
  // shrunken rates of single surgeons go with their true liking for repair
  const liking = cohortParameters.surgeons.map(({ preference }) => preference);
  const single = rates.units.filter(({ unit }) => /^Surgeon \d/.test(String(unit)));
  const pairs = single.map(({ shrunken }, k) => [shrunken.estimate, liking[k]!] as const);
  const mean = (values: number[]) => values.reduce((sum, x) => sum + x, 0) / values.length;
  const [a, b] = [mean(pairs.map(([x]) => x)), mean(pairs.map(([, y]) => y))];
  assert.ok(pairs.reduce((sum, [x, y]) => sum + (x - a) * (y - b), 0) > 0);
  for (const { rate, shrunken, n } of rates.units) {
    assert.ok(rate.lower <= rate.estimate && rate.estimate <= rate.upper);
    const [from, to] = [rate.estimate, rates.overall].sort((x, y) => x - y);
    assert.ok(n > 0 && shrunken.estimate > from! - 0.02 && shrunken.estimate < to! + 0.02);
  }

  const complexity = programmeComplexity(operations, { replicates: 20 });
  assert.ok(!isWithheld(complexity));
  const points = new Map(complexity.score.items.map(({ name, points }) => [name, points]));
  assert.ok(points.get("Mechanism: rheumatic")! > 0);
  assert.ok(points.get("Leaflet: both")! > 0);
  const { area, slope: honest, intercept } = complexity.quality;
  assert.ok(area.corrected > 0.65 && area.corrected < 0.85);
  // as it looks it is calibrated by construction, corrected a little too extreme
  assert.ok(Math.abs(honest.apparent - 1) < 1e-6 && Math.abs(intercept.apparent) < 1e-6);
  assert.ok(honest.corrected > 0.8 && honest.corrected < 1.02);
  const { slope } = complexity.calibration;
  assert.ok(slope.lower < 1 && slope.upper > 0.8);
  assert.ok(complexity.concentration.at(0.2).lower > 0.2);

  const monitoring = programmeMonitoring(operations);
  assert.ok(!isWithheld(monitoring));
  // nothing in the simulation goes wrong over the years
  assert.ok(
    Math.abs(monitoring.observed - monitoring.expected) < 4 * Math.sqrt(monitoring.expected),
  );
  assert.ok(monitoring.at.every((year, k) => k === 0 || year >= monitoring.at[k - 1]!));

  const trend = yearlyTrend(operations, "repair");
  assert.ok(!isWithheld(trend));
  // repair became commoner: 0.08 a year in log odds of what was intended
  assert.ok(trend.slope.lower < 0.08 && 0.08 < trend.slope.upper);

  const durable = durableByVolume(operations);
  const all = durable.filter(({ group }) => group === "all");
  assert.deepEqual(all.map(({ time }) => time), [1, 5, 10]);
  assert.ok(
    all.every(({ durable }, k) => k === 0 || durable.estimate <= all[k - 1]!.durable.estimate),
  );
  const referral = programmeReferral(operations);
  assert.ok(!isWithheld(referral));
  const chance = (profile: string) =>
    referral.cells.find((cell) => String(cell.profile).includes(profile))!.chance.estimate;
  assert.ok(chance("degenerative, posterior") > chance("degenerative, both"));
  assert.ok(chance("degenerative, both") > chance("rheumatic"));
});

Deno.test("what the sentence on surgeons says of their spread stands in a table", () => {
  const rates = surgeonRates(programmeOperations(analysis, cohort));
  const heading = { id: "programme-spread", title: "Spread", caption: "" };
  const shown = spreadTable(heading, rates, { confidence: 0.95 });
  assert.ok("rows" in shown);
  const values = shown.rows.flatMap(({ estimate, lower, upper, p }) => [estimate, lower, upper, p])
    .filter((value) => typeof value === "number");
  assert.equal(values.length, 7);
  const said = [...spreadSentence(rates).matchAll(/\d+\.\d+/g)].map(([text]) => text)
    .filter((text) => !/^(95|99\.8)$/.test(text));
  assert.ok(said.length >= 7);
  for (const text of said) {
    const digits = text.split(".")[1]!.length;
    assert.ok(values.some((value) => value.toFixed(digits) === text), text);
  }
});

Deno.test("surgeonRates() says so where the case mix tells all repairs apart", () => {
  const operations = programmeOperations(analysis, cohort);
  const ages = analysis.columns.age as Float64Array;
  const repaired = operations.repaired.map((_, row) => ages[row]! < 60 ? 1 : 0);
  const found = surgeonRates({ ...operations, repaired });
  assert.ok(isWithheld(found));
  assert.match(found.why, /^The model of case mix has no solution: /);
});

Deno.test("surgeonRates() of so few that some are told apart is withheld, and stops nothing", async () => {
  const rows = (patients: Row[], visits: Row[]): [Row[], Row[]] => [
    patients.filter(({ prior_stroke }) => prior_stroke !== "0"),
    visits,
  ];
  await onCut({ rows }, ({ analysis, cohort }) => {
    const found = surgeonRates(programmeOperations(analysis, cohort));
    assert.ok(isWithheld(found));
    assert.match(found.why, /no chance of a repair, or of none\.$/);
  });
});
