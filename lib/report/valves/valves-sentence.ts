import type { Analysis } from "../../cohort/model/mod.ts";
import { gridOf } from "./population-grid.ts";
import type { GridCell } from "../pair-tables/mod.ts";
import type { PopulationAnswers } from "../../comparisons/populations/mod.ts";
import { uncapitalized } from "../../words/mod.ts";

/**
 * In which populations the valve lasts longer after one operation, in which that is not settled,
 * and in which nothing can be said: by the verdicts of the grid, and the test between populations.
 */
export function valvesSentence(analysis: Analysis, answers: PopulationAnswers): string {
  const { groups: { phrases }, study: { mainHorizon, confidence } } = analysis;
  const all = gridOf(analysis, answers).filter(({ endpoint }) =>
    endpoint === "valve-failure" || endpoint === "recurrence"
  );
  const everybody = new Set(
    answers.populations.filter(({ population }) => population.rows.length === analysis.n)
      .map(({ population }) => population.id),
  );
  const parts = all.filter(({ population }) => !everybody.has(population));
  // everybody's answer is another section's, unless the plan has nothing else
  const cells = parts.length > 0 ? parts : all;
  const [any] = cells;
  if (!any) return "The plan has no endpoint of the valve.";
  const what = any.endpoint === "valve-failure" ? "valve failure" : "recurrence";
  const named = (verdict: string) =>
    cells.filter((cell) => cell.verdict === verdict).map((cell) => {
      const rates = cell.printed ? ` (${cell.printed.first}% v ${cell.printed.second}%)` : "";
      return `${uncapitalized(cell.populationLabel)}${rates}`;
    });
  const looked = analysis.visits.mr.some((grade) => grade >= 0);
  const sentences = looked ? [] : [
    "The file has no grade of regurgitation after the hospital stay, so leaks found later are not counted.",
  ];
  const say = (verdict: string, words: string) => {
    const list = named(verdict);
    if (list.length > 0) sentences.push(`${words} in: ${list.join("; ")}.`);
  };
  const by = `within ${mainHorizon} years`;
  const than = `${what} ${by} after ${phrases.repair} than after ${phrases.replacement}`;
  const everywhere = cells.length > 1 &&
    ["first", "second"].find((one) => cells.every(({ verdict }) => verdict === one));
  if (everywhere) {
    const [least, most] = [...cells].sort((a, b) => size(a) - size(b)).flatMap((cell, i) =>
      i === 0 || i === cells.length - 1
        ? [
          `${cell.printed?.first} v ${cell.printed?.second} of 100 in ${
            uncapitalized(cell.populationLabel)
          }`,
        ]
        : []
    );
    const more = everywhere === "first" ? "Less" : "More";
    sentences.push(`${more} ${than} in every population: from ${least} to ${most}.`);
    if (cells.length > 2) sentences.push(`All of them: ${named(everywhere).join("; ")}.`);
  } else {
    say("first", `Less ${than}`);
    say("second", `More ${than}`);
  }
  say("alike", `No clear difference in ${what}`);
  say("uncertain", `Whether ${what} differs is not settled`);
  say("too-few", `Too few patients are alike, or too few had it, for a number on ${what}`);
  const test = answers.heterogeneity.find(({ endpoint }) => endpoint === any.endpoint)?.together;
  if (test?.test) {
    const differs = test.test.pValue < 1 - confidence;
    sentences.push(
      differs
        ? "The size of the difference depends on the population."
        : "These data do not show that the size of the difference depends on the population.",
    );
  }
  return sentences.join(" ");
}

/** How far apart the two groups of a cell are. */
function size({ first, second }: GridCell): number {
  return Math.abs((first ?? 0) - (second ?? 0));
}
