import assert from "node:assert/strict";
import {
  doublyRobustSurvival,
  followUpOf,
  openStudy,
  readCohort,
  selectEligible,
  standardizedSurvival,
  studyPropensity,
} from "mitral";
import { assertClose } from "../../close.ts";
import { invented } from "./invented.ts";

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
