import assert from "node:assert/strict";
import { DataError } from "mitral";
import * as balance from "../../lib/balance/mod.ts";
import * as competing from "../../lib/competing/mod.ts";
import { checkDataColumns, FOLLOW_UP } from "../../lib/numerics/columns/data-columns.ts";
import * as regression from "../../lib/regression/mod.ts";
import * as sensitivity from "../../lib/sensitivity/mod.ts";
import * as survival from "../../lib/survival/mod.ts";

// What each estimator takes. An exported function that is in neither list fails the first test.
const TAKES: Record<string, readonly string[]> = {
  calibration: ["outcome", "predicted"],
  decisionCurve: ["outcome", "rules", "weight"],
  linearRegression: ["outcome", "covariates", "weight", "cluster"],
  linearisedRates: ["time", "event", "group"],
  logisticRegression: ["outcome", "covariates", "weight", "cluster"],
  ordinalRegression: ["outcome", "covariates", "weight", "cluster"],
  rocCurve: ["outcome", "score"],
  rocDifference: ["outcome", "first", "second"],
  smoothMean: ["outcome", "measurements", "linear", "weight", "cluster"],
  smoothRisk: ["outcome", "measurements", "linear", "weight"],

  areaUnderCurve: ["time", "event", "weight", "score"],
  brierScore: ["time", "event", "weight", "predicted"],
  calibrationAt: ["time", "event", "weight", "predicted"],
  concordance: [...FOLLOW_UP, "score", "stratum", "cluster"],
  conditionalSurvival: FOLLOW_UP,
  coxRegression: [...FOLLOW_UP, "covariates", "stratum", "cluster"],
  fromLandmark: [...FOLLOW_UP, "group", "cluster"],
  groupHazardRatio: [...FOLLOW_UP, "group", "cluster"],
  groupRatioByPeriod: [...FOLLOW_UP, "group", "cluster"],
  ratioOverTime: [...FOLLOW_UP, "group", "cluster"],
  doublyRobustSurvival: ["time", "event", "treated", "covariates"],
  intervalCensoredSurvival: ["lower", "upper", "weight"],
  kaplanMeier: [...FOLLOW_UP, "cluster"],
  kaplanMeierByGroup: [...FOLLOW_UP, "group", "cluster"],
  landmark: [...FOLLOW_UP, "group", "cluster", "stratum", "covariates"],
  logRank: [...FOLLOW_UP, "group", "stratum"],
  logRankMax: [...FOLLOW_UP, "group", "stratum"],
  medianFollowUp: FOLLOW_UP,
  nelsonAalen: FOLLOW_UP,
  observedToExpected: ["time", "event", "entry", "age", "sex", "year"],
  pairedOutcome: ["time", "event", "treated", "pair"],
  periodHazardRatios: [...FOLLOW_UP, "covariates", "stratum", "cluster"],
  restrictedMeanDifference: [...FOLLOW_UP, "group", "cluster"],
  restrictedMeanSurvival: [...FOLLOW_UP, "cluster"],
  splitFollowUp: [...FOLLOW_UP, "covariates", "group", "cluster", "stratum"],
  standardizedSurvival: ["time", "event", "treated", "covariates", "target"],

  armIncidenceDifferences: [...FOLLOW_UP, "arm", "cluster"],
  armSurvivalDifferences: [...FOLLOW_UP, "arm", "cluster"],
  cumulativeIncidence: [...FOLLOW_UP, "cluster"],
  cumulativeIncidenceByGroup: [...FOLLOW_UP, "group", "cluster"],
  expectedTimeDifference: ["subject", "from", "to", "entry", "time", "weight", "group", "cluster"],
  gradesOverTime: ["time", "event", "group", "visits"],
  grayTest: [...FOLLOW_UP, "group", "stratum"],
  incidenceBounds: ["lastClear", "found", "time", "death", "weight"],
  incidenceByMeasurement: [...FOLLOW_UP, "group", "cluster"],
  incidenceDifference: [...FOLLOW_UP, "group", "cluster"],
  incidenceIgnoringCompetingEvents: FOLLOW_UP,
  intervalCensoredIncidence: ["lastClear", "found", "time", "death", "weight"],
  measurementInteraction: [...FOLLOW_UP, "group"],
  proportionOverTime: ["subject", "time", "outcome", "group", "weight"],
  pseudoValues: FOLLOW_UP,
  recurrenceShortcuts: ["lastClear", "found", "time", "death", "weight"],
  stateOccupation: ["subject", "from", "to", "entry", "time", "weight"],
  subdistributionRegression: [...FOLLOW_UP, "covariates", "cluster", "censoringGroup"],
  subgroupDifference: [...FOLLOW_UP, "group"],
  survivalDifference: [...FOLLOW_UP, "group", "cluster"],
  transitionRows: ["time", "death", "stages"],
  twoHazardRatios: [...FOLLOW_UP, "group", "cluster"],
  visitWeights: ["subject", "entry", "time", "visit", "covariates"],

  armBalance: ["arm", "covariates", "weight"],
  armScores: ["arm", "covariates"],
  armWeights: ["arm", "scores"],
  balancingWeights: ["treated", "score"],
  categoricalDifference: ["treated", "category", "weight"],
  distributionDistance: ["treated", "covariate", "weight"],
  entropyWeights: ["treated", "covariates"],
  equalMeans: ["arm", "covariates", "weight", "share"],
  matchPairs: ["treated", "score", "alike"],
  measurementWeights: ["measured", "covariates"],
  overlapOf: ["treated", "score"],
  populationWeights: ["treated", "score"],
  propensityScore: ["treated", "covariates"],
  standardizedDifference: ["treated", "covariate", "weight", "denominator"],
  varianceRatio: ["treated", "covariate", "weight"],

  bootstrapLimits: ["estimate", "replicates", "jackknife"],
  poolCentres: ["estimates", "variances"],
  shrunkenEstimates: ["estimates", "variances"],
  soughtSubgroup: [...FOLLOW_UP, "group"],
};

// They take numbers, a fit, a table or another's columns as they are, not named columns of data.
const OTHERS = new Set([
  "causeSpecific",
  "chiSquareTest",
  "coxResiduals",
  "datedRecurrence",
  "dividesBothGroups",
  "expectedSurvival",
  "fisherTest",
  "jointTest",
  "kolmogorovSmirnovTest",
  "leakAtVisits",
  "mcnemarTest",
  "pairedTest",
  "proportionInterval",
  "proportionalHazardsTest",
  "rankSumTest",
  "rateInterval",
  "rateRatio",
  "riskLimits",
  "readLifeTable",
  "splineBasis",
  "splineKnots",
  "standardizedRatio",
  "subdistributionProportionality",
  "welchTest",
]);

type AnyFunction = (...values: unknown[]) => unknown;
const {
  armBalance,
  armScores,
  armWeights,
  balancingWeights,
  categoricalDifference,
  distributionDistance,
  entropyWeights,
  equalMeans,
  matchPairs,
  measurementWeights,
  overlapOf,
  populationWeights,
  propensityScore,
  standardizedDifference,
  varianceRatio,
} = balance;
const { bootstrapLimits, poolCentres, shrunkenEstimates, soughtSubgroup } = sensitivity;
// Of balance and sensitivity those that take plain columns; the others take a study's analysis.
const plain = {
  armBalance,
  armScores,
  armWeights,
  balancingWeights,
  categoricalDifference,
  distributionDistance,
  entropyWeights,
  equalMeans,
  matchPairs,
  measurementWeights,
  overlapOf,
  populationWeights,
  propensityScore,
  standardizedDifference,
  varianceRatio,
  bootstrapLimits,
  poolCentres,
  shrunkenEstimates,
  soughtSubgroup,
};
const exported = Object.entries({ ...regression, ...survival, ...competing, ...plain })
  .filter(([, value]) => typeof value === "function") as [string, AnyFunction][];

/**
 * The message with which an estimator refuses data, "" where it does not or says something else.
 */
function refusal(estimator: string, run: AnyFunction, data: object): string {
  // observedToExpected() takes the life table first
  const values = estimator === "observedToExpected" ? [{}, data, {}] : [data, {}, {}];
  try {
    run(...values);
  } catch (error) {
    if (error instanceof DataError && /left out/.test(error.message)) return error.message;
  }
  return "";
}

Deno.test("every exported estimator says which columns it takes", () => {
  const unlisted = exported.map(([name]) => name)
    .filter((name) => !TAKES[name] && !OTHERS.has(name));
  const what = "let it call checkDataColumns(), and name its columns in TAKES of " +
    "test/numerics/data-columns.test.ts, or put it among OTHERS there if it takes none";
  assert.deepEqual(unlisted, [], `${unlisted.join(", ")}: ${what}`);
  assert.deepEqual(
    [...Object.keys(TAKES), ...OTHERS].filter((name) =>
      !exported.some(([known]) => known === name)
    ),
    [],
    "not exported any more: take it out of test/numerics/data-columns.test.ts",
  );
});

Deno.test("every estimator refuses a column it would not use, and one letter off", () => {
  const extras = ["entry", "weight", "cluster", "stratum", "group", "covariates", "score"];
  for (const [name, run] of exported) {
    const takes = TAKES[name];
    if (!takes) continue;
    for (const extra of extras.filter((column) => !takes.includes(column))) {
      const found = refusal(name, run, { [extra]: [1] });
      assert.match(
        found,
        new RegExp(`^${extra} must be left out: ${name}\\(\\)`),
        `${name} ${extra}`,
      );
    }
    for (const wrong of ["weights", "wieght", "strata", "entri", "clusters", "evnt", "Group"]) {
      assert.match(
        refusal(name, run, { [wrong]: [1] }),
        new RegExp(`^${wrong} must be spelt "(weight|stratum|entry|cluster|event|group)"`),
        `${name} ${wrong}`,
      );
    }
    for (const own of takes) assert.equal(refusal(name, run, { [own]: [1] }), "", `${name} ${own}`);
  }
});

Deno.test("a column of another name, or one left undefined, is the caller's own", () => {
  checkDataColumns("kaplanMeier", { time: [1], age: [60], ef: [50], weight: undefined }, ["time"]);
  assert.throws(
    () => checkDataColumns("kaplanMeier", null as unknown as object, ["time"]),
    DataError,
  );
});
