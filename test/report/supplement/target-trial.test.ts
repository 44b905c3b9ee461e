import assert from "node:assert/strict";
import { openStudy } from "mitral";
import { parseHTML } from "linkedom";
import { targetTrial } from "../../../lib/report/supplement/target-trial.ts";
import { targetChecklist } from "../../../lib/report/supplement/target-checklist.ts";
import { quickReport, withWorkspace } from "../workspace.ts";

Deno.test("targetTrial() writes every part of a protocol from the study file", async () => {
  const study = await openStudy();
  const parts = targetTrial(study);
  // the parts of a protocol that Hernán & Robins (2016) and items 6a to 6h of TARGET name
  assert.deepEqual(parts.map(({ id }) => id), [
    "eligibility",
    "strategies",
    "assignment",
    "time-zero",
    "follow-up",
    "outcomes",
    "contrast",
    "assumptions",
    "analysis",
  ]);
  const at = (id: string) => parts.find((part) => part.id === id)!;
  assert.ok(at("eligibility").trial.includes("salvage operation"));
  assert.ok(at("strategies").trial.includes(study.groups.repair));
  assert.ok(at("time-zero").emulated.includes(study.timeZero.label));
  assert.ok(at("outcomes").trial.includes("Death of any cause"));
  assert.match(at("contrast").emulated, /intention to treat/);
  for (const { trial, emulated } of parts) {
    for (const words of [trial, emulated]) assert.match(words, /^[A-Z].*[.]$/s);
  }
});

Deno.test("targetTrial() changes with the plan", async () => {
  const study = await openStudy();
  const other = targetTrial({
    ...study,
    groups: { ...study.groups, by: "final" },
    missing: { ...study.missing, method: "complete" },
    estimand: "everyone",
  });
  const at = (id: string) => other.find((part) => part.id === id)!;
  assert.match(at("time-zero").emulated, /decided after it/);
  assert.doesNotMatch(at("contrast").emulated, /intention to treat/);
  assert.match(at("analysis").emulated, /are left out/);
});

Deno.test("the checklist has the 21 items of TARGET, and every link leads somewhere", async () => {
  await withWorkspace({ "01-a": ["1 + 1"] }, async ({ study, notebooks, out }) => {
    const { model } = await quickReport({ study, notebooks, out });
    const lines = targetChecklist(model);
    const numbers = new Set(lines.map(({ item }) => Number(/^T (\d+)/.exec(item)?.[1])));
    assert.deepEqual([...numbers], Array.from({ length: 21 }, (_, k) => k + 1));
    const supplement = await Deno.readTextFile(`${out}/supplement.html`);
    const { document } = parseHTML(supplement);
    const article = parseHTML(await Deno.readTextFile(`${out}/report.html`)).document;
    for (const { evidence } of lines) {
      for (const { anchor } of evidence?.links ?? []) {
        assert.ok(document.getElementById(anchor) ?? article.getElementById(anchor), anchor);
      }
    }
    // nothing that is not there counts as met
    const met = (item: string) => lines.find((line) => line.item === item)?.evidence;
    for (const item of ["T 8", "T 9", "T 13", "T 14", "T 17", "T 20"]) {
      assert.equal(met(item), undefined, item);
    }
    assert.ok(met("T 6a"));
    assert.equal(document.querySelectorAll("#trial-assignment td").length, 2);
  });
});
