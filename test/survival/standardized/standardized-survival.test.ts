import assert from "node:assert/strict";
import {
  coxRegression,
  DataError,
  doublyRobustSurvival,
  followUpOf,
  openStudy,
  readCohort,
  SeededRandom,
  selectEligible,
  standardizedSurvival,
  studyPropensity,
  survivalDifference,
} from "mitral";
import { assertClose } from "../../close.ts";

/**
 * Invented rows in which x decides treatment, death and censoring; the hazard of death is
 * 0.1 exp(0.8 x - 0.5 treated), that of censoring 0.05 exp(0.6 x).
 */
function invented(seed: number, n: number, { ties = false } = {}) {
  const random = new SeededRandom(seed);
  const x = Float64Array.from({ length: n }, () => random.normal());
  const z = Float64Array.from({ length: n }, () => random.normal());
  const treated = x.map((value) => random.bernoulli(1 / (1 + Math.exp(-0.9 * value))));
  const event = new Float64Array(n);
  const time = x.map((value, i) => {
    const death = random.exponential(0.1 * Math.exp(0.8 * value - 0.5 * treated[i]!));
    const lost = random.exponential(0.05 * Math.exp(0.6 * value));
    event[i] = death <= lost ? 1 : 0;
    const t = Math.min(death, lost);
    return ties ? Math.ceil(2 * t) / 2 : t;
  });
  return { time, event, treated, covariates: { x, z } };
}

/** Mean over a standard normal x of exp(-0.1 t exp(0.8 x - 0.5 a)), by the trapezium rule. */
function trueSurvival(t: number, a: 0 | 1): number {
  let sum = 0;
  for (let x = -8; x <= 8; x += 0.01) {
    sum += 0.01 * Math.exp(-x * x / 2) * Math.exp(-0.1 * t * Math.exp(0.8 * x - 0.5 * a));
  }
  return sum / Math.sqrt(2 * Math.PI);
}

const times = [1, 5, 8];

// Identity: with nothing to adjust for, both are Kaplan-Meier, ties and all.
Deno.test("standardizedSurvival() and doublyRobustSurvival() are Kaplan-Meier without covariates", () => {
  const data = { ...invented(3, 900, { ties: true }), covariates: {} };
  const plain = survivalDifference({ time: data.time, event: data.event, group: data.treated }, {
    times,
  });
  const standardized = standardizedSurvival(data, { times });
  const robust = doublyRobustSurvival(data, { times });
  plain.forEach(({ groups, difference }, k) => {
    const [one, other] = [standardized.contrasts[k]!, robust.contrasts[k]!];
    groups.forEach(({ estimate, standardError, lower, upper }, g) => {
      assertClose(one.groups[g]!.estimate, estimate);
      assertClose(one.groups[g]!.standardError, standardError);
      assertClose(one.groups[g]!.lower, lower);
      assertClose(one.groups[g]!.upper, upper);
      assertClose(other.groups[g]!.estimate, estimate);
    });
    assertClose(one.difference.standardError, difference.standardError);
    assertClose(one.difference.pValue, difference.pValue);
    // 1 / G from exp(-H), not a product: the errors agree to 1 / n only
    assertClose(other.difference.standardError, difference.standardError, {
      relative: 0.01,
      absolute: 0,
    });
  });
});

// Identity: averaged over one row's covariates alone, the g-formula is the product over the steps of
// the group's own model there.
Deno.test("standardizedSurvival() averaged over one patient predicts that patient", () => {
  const data = invented(5, 400);
  const target = data.time.map((_, i) => i === 7 ? 1 : 0);
  const { contrasts } = standardizedSurvival({ ...data, target }, { times });
  for (const group of [0, 1] as const) {
    const rows = [...data.treated.keys()].filter((i) => data.treated[i] === group);
    const pick = (values: Float64Array) => rows.map((i) => values[i]!);
    const { x, z } = data.covariates;
    const fit = coxRegression(
      { time: pick(data.time), event: pick(data.event), covariates: { x: pick(x), z: pick(z) } },
      { ties: "breslow" },
    );
    const [first, second] = fit.terms.map(({ coefficient }) => coefficient);
    const risk = Math.exp(first! * (x[7]! - fit.means.x!) + second! * (z[7]! - fit.means.z!));
    const { time, cumulativeHazard } = fit.baselineHazard();
    contrasts.forEach(({ time: t, groups }) => {
      let survival = 1;
      for (let u = 0; u < time.length && time[u]! <= t; u++) {
        survival *= 1 - risk * (cumulativeHazard[u]! - (cumulativeHazard[u - 1] ?? 0));
      }
      assertClose(groups[group]!.estimate, survival);
    });
  }
});

// Identity: influences are what leaving a row out changes (jackknife), up to terms of order 1 / n;
// both procedures are run anew without each row.
Deno.test("standard errors of both agree with the jackknife", () => {
  const n = 160;
  const data = invented(8, n);
  const overlap = data.covariates.x.map((value) => 0.1 + 0.2 / (1 + value * value));
  const targeted = { ...data, target: overlap };
  const without = (row: number) => {
    const drop = (values: Float64Array) => values.filter((_, i) => i !== row);
    const { x, z } = data.covariates;
    return {
      time: drop(data.time),
      event: drop(data.event),
      treated: drop(data.treated),
      covariates: { x: drop(x), z: drop(z) },
      target: drop(overlap),
    };
  };
  const procedures = {
    standardized: (d: typeof targeted) => standardizedSurvival(d, { times: [4] }),
    ...Object.fromEntries((["everyone", "treated", "overlap"] as const).map((population) => [
      population,
      ({ target: _, ...d }: typeof targeted) => doublyRobustSurvival(d, { times: [4], population }),
    ])),
  };
  for (const [name, procedure] of Object.entries(procedures)) {
    const { difference } = procedure(targeted).contrasts[0]!;
    const replicates = Float64Array.from(
      { length: n },
      (_, row) => procedure(without(row)).contrasts[0]!.difference.estimate,
    );
    const mean = replicates.reduce((sum, v) => sum + v, 0) / n;
    const squares = replicates.reduce((sum, v) => sum + (v - mean) ** 2, 0);
    const jackknife = Math.sqrt((n - 1) / n * squares);
    assertClose(difference.standardError, jackknife, { relative: 0.1, absolute: 0 }, name);
  }
});

// The truth by numerical integration of the generator. Over 60 cohorts the mean error of what should
// be unbiased stays within 4 Monte-Carlo errors, and that of what should not be goes beyond 6. A wrong
// model lacks x, which decides everything.
Deno.test("doublyRobustSurvival() is right where either side is, and wrong where both are", () => {
  const cohorts = 60;
  const [wrong, right] = [["z"], ["x", "z"]];
  const variants = {
    "all right": { survival: right, censoring: right, propensity: right },
    "survival wrong": { survival: wrong, censoring: right, propensity: right },
    "propensity and censoring wrong": { survival: right, censoring: wrong, propensity: wrong },
    "all wrong": { survival: wrong, censoring: wrong, propensity: wrong },
  };
  const truth = trueSurvival(5, 1) - trueSurvival(5, 0);
  const errors = new Map<string, number[]>();
  const add = (name: string, value: number) =>
    errors.set(name, [...errors.get(name) ?? [], value - truth]);
  for (let k = 0; k < cohorts; k++) {
    const data = invented(100 + k, 500);
    for (const [name, models] of Object.entries(variants)) {
      const { contrasts } = doublyRobustSurvival(data, { times: [5], models });
      add(name, contrasts[0]!.difference.estimate);
    }
    const { z } = data.covariates;
    add(
      "g-formula right",
      standardizedSurvival(data, { times: [5] }).contrasts[0]!.difference.estimate,
    );
    add(
      "g-formula wrong",
      standardizedSurvival({ ...data, covariates: { z } }, { times: [5] }).contrasts[0]!.difference
        .estimate,
    );
  }
  const standing = (name: string) => {
    const values = errors.get(name)!;
    const mean = values.reduce((sum, v) => sum + v, 0) / cohorts;
    const squares = values.reduce((sum, v) => sum + (v - mean) ** 2, 0);
    return Math.abs(mean) / Math.sqrt(squares / (cohorts - 1) / cohorts);
  };
  for (
    const name of [
      "all right",
      "survival wrong",
      "propensity and censoring wrong",
      "g-formula right",
    ]
  ) assert.ok(standing(name) < 4, `${name}: ${standing(name).toFixed(1)} Monte-Carlo errors off`);
  for (const name of ["all wrong", "g-formula wrong"]) {
    assert.ok(standing(name) > 6, `${name}: only ${standing(name).toFixed(1)}`);
  }
});

// Truth: data-demo/truth.json, by simulation of 900,000 patients. Within three standard errors.
Deno.test("both recover the true differences of the synthetic cohort", async () => {
  const study = await openStudy();
  const analysis = selectEligible(await readCohort(study), study);
  const { time, event } = followUpOf(analysis, "death");
  const { design: { covariates }, score } = studyPropensity(analysis, study);
  const data = { time, event, treated: analysis.treated, covariates };
  const { answers } = JSON.parse(
    await Deno.readTextFile(new URL("../../../data-demo/truth.json", import.meta.url)),
  );
  const horizons = { times: [1, 5] };
  // the year of operation fixes when follow-up ends: see the docstring
  const censoring = Object.keys(covariates).filter((name) => name !== "op_year");
  for (const population of ["everyone", "treated", "overlap"] as const) {
    const target = score.map((e, i) =>
      population === "everyone" ? 1 : population === "treated" ? analysis.treated[i]! : e * (1 - e)
    );
    const results = [
      standardizedSurvival({ ...data, target }, horizons),
      doublyRobustSurvival(data, { ...horizons, population, models: { censoring } }),
    ];
    for (const { contrasts, warnings } of results) {
      assert.deepEqual(warnings, []);
      contrasts.forEach(({ difference }, k) => {
        const truth = answers.populations[population].survival.difference[k].estimate;
        const off = Math.abs(difference.estimate - truth) / difference.standardError;
        assert.ok(off < 3, `${population}, horizon ${k}: ${off} standard errors off`);
      });
    }
  }
});

Deno.test("doublyRobustSurvival() warns where censoring leaves no chance of being seen", () => {
  const data = invented(4, 400);
  // follow-up ends at a time that u fixes: nobody with a small u could be seen at 5
  const u = data.time.map((_, i) => (i % 40) / 4);
  const time = data.time.map((t, i) => Math.min(t, u[i]! + 0.01));
  const event = data.event.map((code, i) => data.time[i]! <= u[i]! + 0.01 ? code : 0);
  const ended = { ...data, time, event, covariates: { ...data.covariates, u } };
  const { warnings } = doublyRobustSurvival(ended, { times: [5] });
  assert.match(warnings.join(" "), /At 5, some rows had next to no chance of being followed/);
  const models = { censoring: ["x"] };
  assert.deepEqual(doublyRobustSurvival(ended, { times: [5], models }).warnings, []);
});

Deno.test("hard edges: beyond follow-up, one group, no events, bad columns, inputs untouched", () => {
  const data = invented(6, 80);
  const before = structuredClone(data);
  const beyond = Math.max(...data.time) + 1;
  for (const run of [standardizedSurvival, doublyRobustSurvival]) {
    assert.ok(Number.isNaN(run(data, { times: [beyond] }).contrasts[0]!.difference.estimate));
    const alive = run({ ...data, event: data.event.map(() => 0) }, { times: [0.5] }).contrasts[0]!;
    assert.equal(alive.difference.estimate, 0);
    assert.ok(Number.isNaN(alive.difference.pValue));
    const alone = data.treated.map(() => 1);
    assert.throws(() => run({ ...data, treated: alone }, { times }), /treated must be 1 in some/);
    const hole = { x: data.covariates.x.map((v, i) => i === 3 ? NaN : v) };
    assert.throws(() => run({ ...data, covariates: hole }, { times }), /covariates\.x\[3\]/);
    const certain = { ...data, event: data.event.map(() => 1) };
    assert.ok(Number.isFinite(run(certain, { times: [1] }).contrasts[0]!.difference.estimate));
  }
  assert.throws(
    () => doublyRobustSurvival(data, { times, models: { censoring: ["w"] } }),
    (error) => error instanceof DataError && /models\.censoring/.test(error.message),
  );
  assert.throws(
    () => standardizedSurvival({ ...data, target: data.time.map(() => 0) }, { times }),
    /target must be above 0/,
  );
  assert.deepEqual(data, before);
});

// Simulation: the truth by numerical integration, twenty columns of which eighteen say nothing.
Deno.test("doublyRobustSurvival() limits contain the truth as often as they say, late horizons too", () => {
  const cohorts = 200;
  const horizons = [5, 8];
  const noise = new SeededRandom(77);
  const held = horizons.map(() => 0);
  for (let k = 0; k < cohorts; k++) {
    const data = invented(1000 + k, 400);
    const columns = Array.from({ length: 18 }, (_, j) => [
      `noise${j}`,
      Float64Array.from(data.time, () => noise.normal()),
    ]);
    const covariates = { ...data.covariates, ...Object.fromEntries(columns) };
    const { contrasts } = doublyRobustSurvival({ ...data, covariates }, { times: horizons });
    contrasts.forEach(({ time, difference: { lower, upper } }, h) => {
      const truth = trueSurvival(time, 1) - trueSurvival(time, 0);
      if (lower <= truth && truth <= upper) held[h]!++;
    });
  }
  const error = Math.sqrt(0.95 * 0.05 / cohorts);
  held.forEach((count, h) => {
    const share = count / cohorts;
    assert.ok(Math.abs(share - 0.95) < 3 * error, `${horizons[h]}: ${share}`);
  });
});

Deno.test("doublyRobustSurvival() counts predictions below 0, and gives no limits without events", () => {
  const data = invented(9, 120);
  // the covariate decides almost alone when a row has its event
  const time = data.time.map((value, i) => value * Math.exp(-3 * data.covariates.x[i]!));
  const steep = { ...data, time };
  const { warnings } = doublyRobustSurvival(steep, { times: [8] });
  const below = standardizedRowsBelow(steep);
  assert.equal(warnings.some((text) => /fell below 0 for \d+ of 120/.test(text)), below > 0);
  assert.ok(below > 0, "the case should have some");
  const few = data.event.map((code, i) => i < 4 ? code : 0);
  const { contrasts, warnings: told } = doublyRobustSurvival({ ...data, event: few }, {
    times: [1],
  });
  assert.ok(Number.isNaN(contrasts[0]!.difference.standardError));
  assert.ok(told.some((text) => /no more events than covariates/.test(text)));
});

/** Rows and groups for which a step of the group's own model takes more than all survival away. */
function standardizedRowsBelow(data: ReturnType<typeof invented>): number {
  let count = 0;
  for (const group of [0, 1]) {
    const rows = [...data.treated.keys()].filter((i) => data.treated[i] === group);
    const pick = (values: Float64Array) => rows.map((i) => values[i]!);
    const { x, z } = data.covariates;
    const fit = coxRegression(
      { time: pick(data.time), event: pick(data.event), covariates: { x: pick(x), z: pick(z) } },
      { ties: "breslow" },
    );
    const { time, cumulativeHazard } = fit.baselineHazard();
    const [first, second] = fit.terms.map(({ coefficient }) => coefficient);
    x.forEach((value, i) => {
      const risk = Math.exp(first! * (value - fit.means.x!) + second! * (z[i]! - fit.means.z!));
      let below = false;
      for (let u = 0; u < time.length && time[u]! <= 8; u++) {
        if (risk * (cumulativeHazard[u]! - (cumulativeHazard[u - 1] ?? 0)) >= 1) below = true;
      }
      if (below) count++;
    });
  }
  return count;
}
