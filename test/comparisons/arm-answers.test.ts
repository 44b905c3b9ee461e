import { deepEqual, equal, match, ok } from "node:assert/strict";
import { followUpOf } from "../../lib/cohort/mod.ts";
import { armAnswers, plannedComparisons } from "../../lib/comparisons/mod.ts";
import { armRows } from "../../lib/comparisons/arms/mod.ts";
import { incidenceDifference } from "../../lib/competing/mod.ts";
import { simulateCohort } from "../../lib/simulate/rows/mod.ts";
import { mixes } from "../calibration/printed/mixes.ts";
import { readBack } from "../calibration/read-back.ts";
import { analyse, replaced } from "../cohort/small-cohort.ts";
import { distributions } from "../../lib/numerics/mod.ts";
import { assertClose } from "../close.ts";
import { analysis, study } from "../demo-analysis.ts";

const compared = plannedComparisons(analysis);
const techniques = compared.find(({ comparison }) => comparison.id === "tethered-technique")!;

/** The demonstration's file under another plan. */
const underPlan = (plan: Partial<typeof study>) => ({ ...analysis, study: { ...study, ...plan } });

// By hand: 30 is in the first arm; 45 in the second, whose rule 30 fits too; 60 in none; without a
// value both arms are open.
Deno.test("armRows() takes the first arm that holds, and leaves out what a missing value leaves open", async () => {
  const below = (value: number) => ({ column: "lvef", below: value, source: "invented" });
  const small = await analyse(
    [{ lvef: 30 }, { lvef: "" }, { lvef: 60 }, { ...replaced, lvef: 45 }],
    [],
    {
      comparisons: [{
        ...{ id: "weak", label: "Weak or not so weak" },
        arms: [
          { id: "weak", label: "Weak", rule: below(40) },
          { id: "less", label: "Less weak", rule: below(50) },
        ],
      }],
    },
  );
  const { rows, arm, none, undecided } = armRows(small, small.study.comparisons[0]!);
  deepEqual([...rows], [0, 3]);
  deepEqual(arm, ["weak", "less"]);
  deepEqual([none, undecided], [1, 1]);
});

Deno.test("plannedComparisons() answers each comparison of the plan, every pair of its arms", () => {
  deepEqual(compared.map(({ comparison }) => comparison.id), study.comparisons.map(({ id }) => id));
  for (const { comparison, answers } of compared) {
    const { arms } = comparison;
    for (const { endpoint, contrasts, why } of answers!.endpoints) {
      if (why !== "") continue;
      const pairs = contrasts.map(({ first, second }) => `${first} ${second}`);
      const wanted = arms.flatMap(({ id }, k) =>
        arms.slice(k + 1).map((other) => `${id} ${other.id}`)
      );
      deepEqual(pairs.sort(), wanted.sort(), endpoint);
      for (const { difference, together } of contrasts) {
        // limits of all pairs together are no narrower than those of one, and with two
        // arms the same
        const wider = (together.upper - together.lower) / (difference.upper - difference.lower);
        ok(arms.length > 2 ? wider > 1 : Math.abs(wider - 1) < 1e-9, `${endpoint}: ${wider}`);
      }
    }
  }
});

Deno.test("plannedComparisons() answers which repair in tethered valves, the arms made alike", () => {
  const { design, endpoints } = techniques.answers!;
  deepEqual(design.shortOf, []);
  ok(design.before!.rows.some(({ largestOfAll }) => largestOfAll > 0.5));
  for (const { covariate, largestOfAll } of design.after!.rows) {
    ok(largestOfAll < 1e-3, `${covariate} ${largestOfAll}`);
  }
  const failure = endpoints.find(({ endpoint }) => endpoint === "valve-failure")!;
  const of = (id: string) => failure.arms.find((arm) => arm.id === id)!.estimate;
  // the cohort is made so: a replacement that spares chordae leaks less than
  // any repair (truth.json)
  ok(of("sparing-replacement") < of("ring-and-subvalvular"));
  ok(of("sparing-replacement") < of("ring-alone"));
});

// Identity: two arms, patients of one surgeon not kept together, are two weighted groups.
Deno.test("armAnswers() of two arms are the weighted difference of two groups", () => {
  const comparison = study.comparisons.find(({ id }) => id === "ablation")!;
  const { completions: _, ...recorded } = analysis;
  const { design, endpoints } = armAnswers(recorded, { ...comparison, surgeon: "none" });
  const { rows, time, event } = followUpOf(design.analysis, "valve-failure");
  const [direct] = incidenceDifference({
    time,
    event,
    weight: Float64Array.from(rows, (row) => design.weight![row]!),
    group: Array.from(rows, (row) => design.counts.arm[row] === "ablated" ? 1 : 0),
  }, { cause: 1, times: [study.mainHorizon], confidence: study.confidence });
  const [{ first, second, difference }] = endpoints
    .find(({ endpoint }) => endpoint === "valve-failure")!.contrasts as [
      typeof endpoints[number]["contrasts"][number],
    ];
  deepEqual([first, second], ["ablated", "not-ablated"]);
  for (const key of ["estimate", "standardError", "lower", "upper", "pValue"] as const) {
    assertClose(difference[key], direct!.difference[key]);
  }
});

Deno.test("plannedComparisons() says what the file or the plan's limits do not allow, and has the rest", () => {
  const [techniquesPlan, ...rest] = study.comparisons;
  const rule = { column: "no_such_column", oneOf: [1] };
  const broken = {
    ...techniquesPlan!,
    arms: techniquesPlan!.arms.map((arm, k) => k === 0 ? { ...arm, rule } : arm),
  };
  const [first, second] = plannedComparisons(underPlan({ comparisons: [broken, ...rest] }));
  equal(first!.answers, null);
  match(first!.why, /^the file does not allow it: .*no_such_column/);
  ok(second!.answers && second!.why === "");

  const enough = { ...study.enough, effectiveNumber: { value: 500, source: "invented" } };
  for (const { answers } of plannedComparisons(underPlan({ enough }))) {
    ok(answers!.design.shortOf.every((reason) => /^fewer than 500 patients' worth/.test(reason)));
    for (const { contrasts, why } of answers!.endpoints) {
      equal(contrasts.length, 0);
      equal(why, answers!.design.shortOf.join("; "));
    }
  }
});

Deno.test("armAnswers() of an arm with hardly anybody say so", () => {
  const [comparison] = study.comparisons;
  const nobody = { column: "lvef", below: 1, source: "invented" };
  const arms = comparison!.arms.map((arm, k) => k === 1 ? { ...arm, rule: nobody } : arm);
  const { design } = armAnswers(analysis, { ...comparison!, arms });
  deepEqual(design.shortOf, [`hardly anybody in the arm "${arms[1]!.label}"`]);
  equal(design.weight, null);
});

Deno.test("armAnswers() in completed sets are moved to the mean over sets, and no surer", () => {
  const comparison = study.comparisons.find(({ id }) => id === "ablation")!;
  const own = { ...comparison, surgeon: "none" as const };
  const { design, endpoints } = armAnswers(analysis, own);
  equal(design.weightInSets?.length, study.missing.sets);
  const { rows, time, event } = followUpOf(design.analysis, "valve-failure");
  const group = Array.from(rows, (row) => design.counts.arm[row] === "ablated" ? 1 : 0);
  const each = design.weightInSets!.map((weight) => {
    const own = Float64Array.from(rows, (row) => weight[row]!);
    const times = [study.mainHorizon];
    return incidenceDifference({ time, event, weight: own, group }, { cause: 1, times })[0]!;
  });
  const mean = each.reduce((sum, { difference }) => sum + difference.estimate, 0) / each.length;
  const found = endpoints.find(({ endpoint }) => endpoint === "valve-failure")!.contrasts[0]!;
  assertClose(found.difference.estimate, mean);
  const within = each.reduce((sum, one) => sum + one.difference.standardError, 0) / each.length;
  ok(found.difference.standardError > 0.999 * within);
  ok(found.difference.pValue >= 0 && found.difference.pValue <= 1);
});

// Both are of the estimate that is shown, which is the mean over the completed sets.
Deno.test("p values of a comparison of arms are those of its estimates and errors", () => {
  let looked = 0;
  for (const { answers } of compared) {
    const surgeons = new Set(answers!.design.surgeon).size;
    for (const { contrasts } of answers!.endpoints) {
      for (const { difference, fewEvents } of contrasts) {
        if (fewEvents) continue;
        const { estimate, standardError, pValue } = difference;
        const expected = distributions.studentTwoSided(estimate / standardError, surgeons - 1);
        assertClose(pValue, expected, { relative: 1e-6, absolute: 1e-9 });
        looked++;
      }
    }
  }
  ok(looked > 0, `${looked} looked at`);
});

// A simulated cohort of few patients in which covariates tell the arms apart: fitted chances are 0.
Deno.test("plannedComparisons() says that arms are told apart completely, in place of numbers", async () => {
  const { n, parameters } = mixes.find(({ name }) => name === "harder")!;
  const few = await readBack(simulateCohort({ seed: 700_151, n, parameters }));
  const { answers, why } = plannedComparisons(few)[0]!;
  equal(why, "");
  deepEqual(answers!.design.shortOf, [
    'nobody in the arm "Ring alone" could have been in every other',
  ]);
  for (const { contrasts, why } of answers!.endpoints) {
    deepEqual(contrasts, []);
    match(why, /could have been in every other/);
  }
});

// Identity: fewer than three surgeons are no clusters to speak of, and neither is a file without.
Deno.test("armAnswers() keep a surgeon's patients together where there are at least three of them", () => {
  const comparison = study.comparisons.find(({ id }) => id === "ablation")!;
  const { completions: _, ...recorded } = analysis;
  const errorsOf = (surgeon: string[] | undefined, kept: "cluster" | "none" = "cluster") => {
    const { surgeon: __, ...columns } = recorded.columns;
    const own = { ...recorded, columns: surgeon ? { ...columns, surgeon } : columns };
    const { endpoints } = armAnswers(own, { ...comparison, surgeon: kept });
    return endpoints.flatMap(({ contrasts }) =>
      contrasts.map(({ difference }) => [difference.standardError, difference.upper])
    );
  };
  const surgeons = (count: number) =>
    Array.from({ length: analysis.n }, (_, row) => `S${row % count}`);
  const apart = errorsOf(surgeons(3), "none");
  ok(apart.length > 0);
  deepEqual(errorsOf(undefined), apart);
  deepEqual(errorsOf(surgeons(2)), apart);
  errorsOf(surgeons(3)).forEach(([error, upper], k) => {
    ok(error !== apart[k]![0] && upper !== apart[k]![1], `contrast ${k}`);
  });
});

// Identity: a surgeon who is among the covariates already is not put into the score twice.
Deno.test("armAnswers() with the surgeon in the score take the surgeon as one more covariate", () => {
  const comparison = study.comparisons.find(({ id }) => id === "ablation")!;
  const { completions: _, ...recorded } = analysis;
  const surgeon = { column: "surgeon", form: "category" as const, missing: "indicator" as const };
  const weightOf = (plan: Partial<typeof comparison>) =>
    armAnswers(recorded, { ...comparison, ...plan }).design.weight!;
  const own = study.adjustment.covariates;
  const added = weightOf({ surgeon: "score", covariates: own });
  for (const kept of ["score", "none"] as const) {
    deepEqual(added, weightOf({ surgeon: kept, covariates: [...own, surgeon] }), kept);
  }
  const without = weightOf({ surgeon: "none", covariates: own });
  ok(added.some((weight, row) => weight !== without[row]));
});
