import type { ArmEndpoint, ComparisonAnswer } from "../../comparisons/arms/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { capitalized, inSentence, listText } from "../../words/mod.ts";
import { verdictOfRange } from "../show/mod.ts";

/**
 * What the comparisons of techniques say of the valve, or of survival where the plan has no
 * endpoint of the valve: the share of each arm, then what is settled between them, from the limits
 * that hold for all pairs together.
 */
export function techniqueSentence(
  study: Study,
  compared: readonly ComparisonAnswer[],
): string {
  if (compared.length === 0) return "The plan compares no techniques.";
  return compared.map((one) => `${one.comparison.label}: ${saidOf(study, one)}.`).join(" ");
}

function saidOf(study: Study, { answers, why }: ComparisonAnswer): string {
  if (!answers) return why;
  const of = (id: string) => answers.endpoints.find(({ endpoint }) => endpoint === id);
  const main = of("valve-failure") ?? of("recurrence") ?? of("death") ?? answers.endpoints[0];
  if (!main) return "the plan has no outcome for it";
  const { endpoint, contrasts } = main;
  if (contrasts.length === 0) return `no number, since ${main.why}`;
  const compared = new Set(contrasts.flatMap(({ first, second }) => [first, second]));
  const shares = main.arms.filter(({ id }) => compared.has(id)).map(({ label, estimate }) =>
    `${inSentence(label)} ${Math.round(100 * estimate)}%`
  );
  const outcome = endpoint === "death"
    ? "alive"
    : endpoint === "valve-failure"
    ? "valve failure"
    : "it";
  const settled = contrasts.map((pair) => pairText(study, main, pair));
  return `${outcome} at ${study.mainHorizon} years: ${listText(shares)}. ${
    capitalized(settled.join("; "))
  }`;
}

/** What is settled between two arms. */
function pairText(
  { confidence, smallestDifference }: Study,
  { endpoint, arms }: ArmEndpoint,
  { first, second, together }: ArmEndpoint["contrasts"][number],
): string {
  const name = (id: string) => inSentence(arms.find((arm) => arm.id === id)!.label);
  const verdict = verdictOfRange({ lower: together.lower, upper: together.upper }, {
    moreIsBetter: endpoint === "death",
    confidence,
    smallestThatMatters: smallestDifference.value,
  });
  switch (verdict) {
    case "first":
      return `${name(first)} better than ${name(second)}`;
    case "second":
      return `${name(second)} better than ${name(first)}`;
    case "alike":
      return `no clear difference: ${name(first)} v ${name(second)}`;
    case "uncertain":
      return `not settled: ${name(first)} v ${name(second)}`;
  }
}
