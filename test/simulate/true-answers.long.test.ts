import assert from "node:assert/strict";
import { daysPerYear } from "../../lib/simulate/mechanism/outcomes.ts";
import { cohortParameters } from "../../lib/simulate/mechanism/parameters.ts";
import type { PatientRow } from "../../lib/simulate/rows/rows.ts";
import { simulateCohort } from "../../lib/simulate/rows/simulate-cohort.ts";
import { trueAnswers } from "../../lib/simulate/truth/true-answers.ts";

const eligible = (row: PatientRow) =>
  row.ie_active === 0 && !["endocarditis", "other"].includes(row.aetiology) &&
  row.urgency !== "salvage" && row.redo === 0;

Deno.test("trueAnswers() is what observed groups weighted by the true propensity tend to", () => {
  // Identity, by another route: observed data only, one outcome a patient, Horvitz-Thompson weights
  // by the true propensity; survival at one year, where hardly anybody is censored (those seen for
  // less than a year are left out by calendar, which is independent of everything).
  const answers = trueAnswers({ seed: 11, n: 90_000, horizons: [1], batches: 10 });
  const { patients, truth } = simulateCohort({ seed: 12, n: 40_000 });
  const weightOf = {
    everyone: (e: number, repair: boolean) => repair ? 1 / e : 1 / (1 - e),
    treated: (e: number, repair: boolean) => repair ? 1 : e / (1 - e),
    overlap: (e: number, repair: boolean) => repair ? 1 - e : e,
    unadjusted: () => 1,
  };
  for (const name of ["everyone", "treated", "overlap", "unadjusted"] as const) {
    for (const arm of ["repair", "replacement"] as const) {
      const terms: { w: number; y: number }[] = [];
      patients.forEach((row, i) => {
        if (!eligible(row) || row.intended !== arm || truth[i]!.lastContactDay < 366) return;
        const w = weightOf[name](truth[i]!.propensity, arm === "repair");
        terms.push({ w, y: row.dead && row.fu_days <= daysPerYear ? 0 : 1 });
      });
      const total = terms.reduce((sum, { w }) => sum + w, 0);
      const mean = terms.reduce((sum, { w, y }) => sum + w * y, 0) / total;
      const variance = terms.reduce((sum, { w, y }) => sum + (w * (y - mean)) ** 2, 0) / total ** 2;
      const { estimate, standardError } = answers.populations[name].survival[arm][0]!;
      const z = (mean - estimate) / Math.sqrt(variance + standardError ** 2);
      assert.ok(Math.abs(z) < 4, `${name}, ${arm}: ${mean} against ${estimate}, z = ${z}`);
    }
  }
});

Deno.test("trueAnswers() finds nothing where the procedure does nothing", () => {
  // Identity: with common draws and no effect both groups are the same patients with the same fate.
  const parameters = { ...cohortParameters, effect: "none" as const };
  const { populations } = trueAnswers({ seed: 3, n: 36_000, batches: 2, parameters });
  for (const name of ["everyone", "treated", "overlap"] as const) {
    const p = populations[name];
    for (const  of of["survival", "recurrence", "recurrenceFound", "reoperation"] as const) {
      for (const { estimate } of p[of].difference) assert.equal(estimate, 0, `${name} ${of}`);
    }
    assert.equal(p.hazardRatios.death.marginal.hazardRatio, 1);
  }
  const plain = populations.unadjusted.survival.difference.at(-1)!;
  assert.ok(plain.estimate > 0.1, "confounding alone makes a difference");
});

Deno.test("trueAnswers() finds the hazard ratio it was given, where it is the whole of the effect", () => {
  // By construction: without early deaths, conversions, an effect of recurrence, deaths at
  // reoperation and prognostic columns, all degenerative patients of a group have one late hazard,
  // and those of the groups are proportional with log ratio -0.2.
  const p = cohortParameters;
  const noColumns = Object.fromEntries(Object.keys(p.lateDeath).map((name) => [name, 0]));
  const { rate, perYear } = p.lateDeath;
  const parameters = {
    ...p,
    earlyDeath: { ...p.earlyDeath, base: -40 },
    conversion: { ...p.conversion, base: -40, repairPossible: 0 },
    lateDeath: { ...p.lateDeath, ...noColumns, rate, perYear, replacement: 0.2 },
    reoperation: { ...p.reoperation, deathRisk: 0 },
  };
  const { populations } = trueAnswers({ seed: 6, n: 180_000, batches: 10, parameters });
  const { marginal } = populations.degenerative.hazardRatios.death;
  const z = (marginal.logHazardRatio + 0.2) / marginal.standardError;
  assert.ok(Math.abs(z) < 4, `log ratio ${marginal.logHazardRatio}, z = ${z}`);
  // Identity: one hazard needs no prognostic score
  const { givenPrognosis } = populations.degenerative.hazardRatios.death;
  assert.ok(Math.abs(givenPrognosis.logHazardRatio - marginal.logHazardRatio) < 1e-9);
});

Deno.test("trueAnswers() orders its quantities as they must be", () => {
  const { populations, horizons } = trueAnswers({ seed: 8, n: 36_000, batches: 2 });
  for (const [name, p] of Object.entries(populations)) {
    for (const arm of ["repair", "replacement"] as const) {
      horizons.forEach((_, k) => {
        const onset = p.recurrence[arm][k]!.estimate;
        const found = p.recurrenceFound[arm][k]!.estimate;
        const severe = p.severeRecurrenceFound[arm][k]!.estimate;
        assert.ok(severe <= found && found <= onset, `${name} ${arm}`);
        if (k > 0) {
          assert.ok(p.survival[arm][k]!.estimate <= p.survival[arm][k - 1]!.estimate);
          assert.ok(onset >= p.recurrence[arm][k - 1]!.estimate);
        }
      });
    }
  }
});
