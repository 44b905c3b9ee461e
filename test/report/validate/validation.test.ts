import assert from "node:assert/strict";
import { populationAnswers } from "mitral";
import { openAnalysis } from "../../../lib/missing/mod.ts";
import { validateStudy } from "../../../lib/report/validate/mod.ts";
import { type Cut, writeCut } from "../../hostile/cut-cohort.ts";

/** Does something with the study file of a cut. Patients are invented. */
async function onStudyOf<T>(cut: Cut, use: (study: string) => Promise<T>): Promise<T> {
  const folder = await Deno.makeTempDir({ prefix: "mitral-test-" });
  try {
    return await use(await writeCut(folder, cut));
  } finally {
    await Deno.remove(folder, { recursive: true });
  }
}

Deno.test("validation foretells a number of a population where the report has one, values imputed", async () => {
  // without the imputed values two of these populations look too unlike for a number
  const cut: Cut = {
    rows: (
      patients,
      visits,
    ) => [patients.filter(({ urgency }) => urgency !== "urgent"), visits],
  };
  await onStudyOf(cut, async (study) => {
    const { foretold } = await validateStudy({ study });
    const { analysis } = await openAnalysis(study);
    const { populations } = populationAnswers(analysis);
    const withNumber = populations.map(({ endpoints }) => endpoints.some(({ main }) => main));
    const promised = foretold.filter(({ where }) => where.startsWith("populations["))
      .map(({ verdict }) => verdict !== "absent");
    assert.equal(promised.length, 5);
    assert.deepEqual(promised, withNumber);
  });
});

Deno.test("validation stops where a covariate must be known and is not, as the report does", async () => {
  const cut: Cut = {
    plan: (plan) => {
      for (const covariate of plan.adjustment.covariates) {
        Object.assign(covariate, covariate.column === "pasp" ? { missing: "stop" } : {});
      }
    },
  };
  await onStudyOf(cut, async (study) => {
    await assert.rejects(() => openAnalysis(study), /pasp/);
    const { groups, code } = await validateStudy({ study });
    const stops = groups.filter(({ severity }) => severity === "structural");
    assert.equal(code, 2);
    assert.match(stops.map(({ message }) => message).join(), /pasp/);
  });
});
