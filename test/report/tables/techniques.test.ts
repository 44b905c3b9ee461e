import { deepEqual, equal, match, ok } from "node:assert/strict";
import { plannedComparisons } from "../../../lib/comparisons/mod.ts";
import {
  techniqueArmsTable,
  techniqueSections,
  techniqueSentence,
  techniqueTable,
} from "../../../lib/report/mod.ts";
import { analysis, asPlanned, study } from "../../demo-analysis.ts";

const compared = plannedComparisons(analysis);
const enough = { ...study.enough, effectiveNumber: { value: 500, source: "invented" } };
const silent = plannedComparisons({ ...analysis, study: { ...study, enough } });
const heading = { id: "x", title: "t", caption: "c" };
const endpointOf = (k: number, id: string) =>
  compared[k]!.answers!.endpoints.find(({ endpoint }) => endpoint === id)!;

Deno.test("techniqueSections() draw every pair with the limits of all pairs together", () => {
  const sections = techniqueSections(compared, "valve-failure", asPlanned);
  deepEqual(sections.map(({ label }) => label), study.comparisons.map(({ label }) => label));
  sections.forEach(({ rows }, k) => {
    const { contrasts, arms } = endpointOf(k, "valve-failure");
    deepEqual(
      rows.map(({ estimate, lower, upper }) => [estimate, lower, upper]),
      contrasts.map(({ difference, together }) => [
        difference.estimate,
        together.lower,
        together.upper,
      ]),
    );
    for (const { risks } of rows) equal(risks!.length, 2);
    // with two arms the pair alone is all pairs
    for (const { counts } of rows) {
      match(counts![0]!, /^n = \d+ and \d+; effective \d+ and \d+$/);
      equal(counts!.length, arms.length > 2 ? 2 : 1);
    }
  });
});

Deno.test("techniqueSections() give a reason in place of a number", () => {
  for (const { rows } of techniqueSections(silent, "valve-failure", asPlanned)) {
    equal(rows.length, 1);
    ok(Number.isNaN(rows[0]!.estimate));
    match(String(rows[0]!.counts), /^No number: fewer than 500 patients' worth/);
  }
  deepEqual(techniqueSections(compared, "no-such", asPlanned), []);
});

Deno.test("techniqueTable() has a line for every pair and outcome, each with both limits", () => {
  const { columns, rows } = techniqueTable(heading, compared, { years: study.mainHorizon });
  const lines = compared.flatMap(({ answers }) =>
    answers!.endpoints.map(({ contrasts }) => Math.max(1, contrasts.length))
  );
  equal(rows.length, lines.reduce((sum, count) => sum + count, 0));
  deepEqual(
    columns.filter(({ key }) => /lower|upper/i.test(key)).map(({ label }) => label),
    ["95% from", "to", "All pairs together, 95% from", "to"],
  );
  for (
    const { first, second, difference, lower, upper, togetherLower, togetherUpper, why } of rows
  ) {
    if (why !== "") continue;
    // to a tenth of one in 100, each rounded by itself
    ok(Math.abs(Number(first) - Number(second) - Number(difference)) < 0.151);
    ok(Number(lower) <= Number(difference) && Number(difference) <= Number(upper));
    ok(Number(togetherLower) <= Number(lower) && Number(upper) <= Number(togetherUpper));
  }
});

Deno.test("techniqueTable() says once why a comparison has no numbers", () => {
  const { rows } = techniqueTable(heading, silent, { years: 5 });
  equal(rows.length, silent.length);
  for (const { outcome, first, why } of rows) {
    deepEqual([outcome, first], ["every outcome", null]);
    match(String(why), /^fewer than 500/);
  }
  const broken = [{ comparison: study.comparisons[0]!, answers: null, why: "no such column" }];
  equal(techniqueTable(heading, broken, { years: 5 }).rows[0]!.why, "no such column");
});

Deno.test("techniqueArmsTable() counts the arms, none of them few, and how alike they were made", () => {
  const { smallestCell } = study;
  const { rows } = techniqueArmsTable(heading, compared, { smallestCell });
  equal(rows.length, study.comparisons.reduce((sum, { arms }) => sum + arms.length, 0));
  for (const { patients, before, after, effective, why } of rows) {
    ok(typeof patients !== "number" || patients >= smallestCell);
    ok(Number(after) < 0.001 && Number(before) > 0.1 && Number(effective) >= 25);
    equal(why, "");
  }
  // an arm that is few is not told, nor by what is left of the others
  const cell = 60;
  const masked = techniqueArmsTable(heading, compared, { smallestCell: cell }).rows.slice(0, 3);
  ok(masked.every(({ patients }) => typeof patients !== "number" || patients >= cell));
  equal(masked.filter(({ patients }) => typeof patients !== "number").length, 2);
});

Deno.test("techniqueSentence() claims no more than the limits of all pairs together", () => {
  const text = techniqueSentence(study, compared);
  const paragraphs = text.split("\n\n");
  equal(paragraphs.length, compared.length);
  for (const k of compared.keys()) {
    const settled = endpointOf(k, "valve-failure").contrasts.some(({ together }) =>
      together.lower > 0 || together.upper < 0
    );
    const [heading] = paragraphs[k]!.split(". ");
    match(heading!, settled ? /^Less valve failure with .* than with / : /: not settled$/);
  }
  match(text, /Valve failure at 5 years: ring alone \d+%, .* and chord-sparing \w+ \d+%/);
  match(techniqueSentence(study, silent), /no number, since fewer than 500 patients' worth/);
  equal(techniqueSentence(study, []), "The plan compares no techniques.");
});
