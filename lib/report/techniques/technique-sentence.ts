import type { ArmEndpoint, ComparisonAnswer } from "../../comparisons/arms/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { listText } from "../../words/mod.ts";
import { inSentence, verdictOfRange } from "../show/mod.ts";

/**
 * What the comparisons of techniques say of the valve, or of survival where the plan has no endpoint of
 * the valve: a sentence each, from the limits that hold for all pairs together.
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
  if (main.contrasts.length === 0) return `no number, since ${main.why}`;
  return listText(main.contrasts.map((pair) => pairText(study, main, pair)));
}

function pairText(
  { confidence, smallestDifference, mainHorizon }: Study,
  { endpoint, arms }: ArmEndpoint,
  { first, second, together }: ArmEndpoint["contrasts"][number],
): string {
  const of = (id: string) => arms.find((arm) => arm.id === id)!;
  const [one, other] = [of(first), of(second)];
  const whole = (share: number) => `${Math.round(100 * share)}%`;
  const rates = `${whole(one.estimate)} v ${whole(other.estimate)} ${
    endpoint === "death" ? "alive" : endpoint === "valve-failure" ? "with valve failure" : "with it"
  } at ${mainHorizon} years`;
  const verdict = verdictOfRange({ lower: together.lower, upper: together.upper }, {
    moreIsBetter: endpoint === "death",
    confidence,
    smallestThatMatters: smallestDifference.value,
  });
  const names = `${inSentence(one.label)} v ${inSentence(other.label)}`;
  switch (verdict) {
    case "first":
      return `${names}: ${rates}, better with ${inSentence(one.label)}`;
    case "second":
      return `${names}: ${rates}, better with ${inSentence(other.label)}`;
    case "alike":
      return `${names}: ${rates}, no clear difference`;
    case "uncertain":
      return `${names}: ${rates}, not settled`;
  }
}
