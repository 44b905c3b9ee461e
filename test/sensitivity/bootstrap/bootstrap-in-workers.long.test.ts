import assert from "node:assert/strict";
import {
  kaplanMeier,
  matchedSample,
  pairBootstrap,
  procedureBootstrap,
  rematcher,
  resampler,
  restrictedMeanDifference,
  survivalDifference,
  underMatching,
  underWeights,
  weightedSample,
} from "mitral";
import { assertClose } from "../../close.ts";
import { analysis, followUp, study } from "./bootstrap-parts.ts";

// Identity: the statistic of the rows themselves is what the estimators give of
// the study's samples.
Deno.test("procedureBootstrap() starts from the study's own estimates", async () => {
  const sample = matchedSample(analysis, study);
  const weighting = weightedSample(analysis, study);
  const designs = {
    matched: underMatching(followUp, sample),
    weighted: underWeights(followUp, weighting.weight),
  };
  const times = study.horizons;
  for (const design of ["matched", "weighted"] as const) {
    const { survival, restrictedMean } = await procedureBootstrap(
      { analysis, study, followUp, design },
      { replicates: 20, workers: 0 },
    );
    survivalDifference(designs[design], { times }).forEach(({ difference }, k) => {
      assertClose(survival[k]!.estimate, difference.estimate);
      // a rough check that the spread is of the right size: 20 replicates know it to a sixth
      const ratio = survival[k]!.standardError / difference.standardError;
      assert.ok(ratio > 0.4 && ratio < 1.8, `${design} at ${times[k]}: ${ratio}`);
    });
    const horizon = study.restrictedMeanHorizon;
    const means = restrictedMeanDifference(designs[design], { horizon });
    assertClose(restrictedMean!.estimate, means.difference.estimate);
  }
});

// Identity: a replicate is the study's matching applied to the drawn rows.
Deno.test("procedureStatistic() matches anew in each draw", () => {
  const { rows, treated } = rematcher(analysis, study)(resampler(analysis.n, study.seed)(0).rows);
  const aliveAt5 = (group: 0 | 1) => {
    const own = [...rows.keys()].filter((i) => treated[i] === group).map((i) => rows[i]!);
    const pick = (values: ArrayLike<number>) => own.map((row) => values[row]!);
    const { survival } = kaplanMeier({ time: pick(followUp.time), event: pick(followUp.event) })
      .at([5]);
    return survival[0]!;
  };
  return procedureBootstrap(
    { analysis, study, followUp, design: "matched" },
    { replicates: 20, workers: 0, horizons: [5], restrictedMeanHorizon: null },
  ).then(({ survival, restrictedMean }) => {
    assertClose(survival[0]!.replicates[0]!, aliveAt5(1) - aliveAt5(0));
    assert.equal(restrictedMean, undefined);
  });
});

// Statistical: pairs resampled whole against the robust error of the same pairs. 400 replicates
// know a standard deviation to 3.5%; three of those and a little for finite samples.
Deno.test("pairBootstrap() agrees with the robust error of a restricted mean difference", async () => {
  const paired = underMatching(followUp, matchedSample(analysis, study));
  const horizon = study.restrictedMeanHorizon;
  const { restrictedMean } = await pairBootstrap(paired, study, { replicates: 400, workers: 0 });
  const { difference } = restrictedMeanDifference(paired, { horizon });
  assertClose(restrictedMean!.estimate, difference.estimate);
  assertClose(restrictedMean!.standardError, difference.standardError, {
    relative: 0.12,
    absolute: 0,
  });
});
