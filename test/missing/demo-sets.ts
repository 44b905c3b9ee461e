import * as mitral from "mitral";

export const study = await mitral.openStudy();
export const analysis = mitral.selectEligible(await mitral.readCohort(study), study);
export const quick = { sets: 2, iterations: 2, workers: 0 };
export const survivalIn = (set: mitral.Analysis) => {
  const { weight } = mitral.weightedSample(set, study);
  const data = mitral.underWeights(mitral.followUpOf(set, "death"), weight);
  return mitral.survivalDifference(data, { times: [1, 5] });
};
