import { deepStrictEqual as same, match, ok } from "node:assert/strict";
import { openAnalysis } from "../../../lib/missing/mod.ts";
import { groupPhrases, isPlanned, openStudy } from "../../../lib/study/mod.ts";

Deno.test("openAnalysis() reads the study it is given and repeats what its plan says", async () => {
  const study = await openStudy();
  const opened = await openAnalysis(study.path);
  same(opened.study, study);
  same(opened.analysis.n, opened.analysis.treated.length);
  ok(opened.cohort.n > opened.analysis.n);
  // the demonstration's plan imputes: each of its sets is with the analysis
  same(opened.analysis.completions?.length, study.missing.sets);
  const { labels, phrases, confidence, smallestCell, ...drawing } = opened.asPlanned;
  same(labels, { repair: study.groups.repair, replacement: study.groups.replacement });
  same(phrases, groupPhrases(study.groups));
  same([confidence, smallestCell], [study.confidence, study.smallestCell]);
  same(drawing, {
    smallestAtRisk: study.smallestAtRisk,
    horizons: [...study.horizons],
    mainHorizon: study.mainHorizon,
    horizon: Math.max(...study.horizons),
    smallestThatMatters: study.smallestDifference.value,
  });
});

Deno.test("groupPhrases() follows what the plan takes the groups by", () => {
  const labels = { repair: "Repair", replacement: "Replacement" };
  const intended = groupPhrases({ ...labels, by: "intended" });
  same([intended.repair, intended.by], ["an intended repair", "intended operation"]);
  const final = groupPhrases({ ...labels, by: "final" });
  // the words of the one never stand for the other
  for (const text of Object.values(final)) {
    ok(!/intended/.test(text.replace(/be turned/, "")), text);
  }
  match(final.repair, /completed repair/);
});

Deno.test("isPlanned() takes the table and the finding of a planned result as planned", () => {
  const study = { planned: ["survival-matched", "flow-table"] };
  ok(isPlanned(study, "survival-matched"));
  ok(isPlanned(study, "survival-matched-table"));
  ok(isPlanned(study, "survival-matched-finding"));
  ok(isPlanned(study, "flow-table"));
  ok(!isPlanned(study, "flow"));
  ok(!isPlanned(study, "survival-matched-curves"));
});
