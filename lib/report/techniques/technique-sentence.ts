import type { ArmEndpoint, ComparisonAnswer } from "../../comparisons/arms/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { PlannedComparison } from "../../study/plan/mod.ts";
import { capitalized, inSentence, listText, uncapitalized } from "../../words/mod.ts";
import { verdictOfRange } from "../show/mod.ts";

/**
 * What the comparisons of techniques say of the valve, or of survival where the plan has no
 * endpoint of the valve: among whom, the share of each arm, what is settled between them by the
 * limits that apply to all pairs together, and what is not; then survival.
 */
export function techniqueSentence(
  study: Study,
  compared: readonly ComparisonAnswer[],
): string {
  if (compared.length === 0) return "The plan compares no techniques.";
  return compared.map((one) =>
    `${one.comparison.label}${among(study, one.comparison)}: ${saidOf(study, one)}.`
  ).join(" ");
}

/** The population of a comparison, where its label does not name it. */
function among({ populations }: Study, { population, label }: PlannedComparison): string {
  const of = populations.find(({ id }) => id === population)?.label;
  if (of === undefined || label.toLowerCase().includes(of.toLowerCase())) return "";
  return ` (${inSentence(of)})`;
}

function saidOf(study: Study, { answers, why }: ComparisonAnswer): string {
  if (!answers) return why;
  const of = (id: string) => answers.endpoints.find(({ endpoint }) => endpoint === id);
  const main = of("valve-failure") ?? of("recurrence") ?? of("death") ?? answers.endpoints[0];
  if (!main) return "the plan has no outcome for it";
  if (main.contrasts.length === 0) return `no number, since ${main.why}`;
  const alive = of("death");
  return [
    `${outcomeOf(main)} at ${study.mainHorizon} years: ${sharesOf(main)}`,
    ...settledBetween(study, main),
    alive && alive !== main && alive.contrasts.length > 0 &&
    `Alive then: ${sharesOf(alive)}; ${settledBetween(study, alive).map(uncapitalized).join("; ")}`,
  ].filter(Boolean).join(". ");
}

function outcomeOf({ endpoint }: ArmEndpoint): string {
  return endpoint === "death" ? "alive" : endpoint === "valve-failure" ? "valve failure" : "it";
}

/** "ring alone 57% and chord-sparing replacement 2%" */
function sharesOf({ arms, contrasts }: ArmEndpoint): string {
  const compared = new Set(contrasts.flatMap(({ first, second }) => [first, second]));
  return listText(
    arms.filter(({ id }) => compared.has(id)).map(({ label, estimate }) =>
      `${inSentence(label)} ${Math.round(100 * estimate)}%`
    ),
  );
}

/** What is settled between the arms, then what is not, as sentences without their full stops. */
function settledBetween(study: Study, main: ArmEndpoint): string[] {
  const name = (id: string) => inSentence(main.arms.find((arm) => arm.id === id)!.label);
  const worse = new Map<string, string[]>();
  const open = { alike: [] as string[], uncertain: [] as string[] };
  for (const pair of main.contrasts) {
    const [first, second] = [name(pair.first), name(pair.second)];
    const verdict = verdictIn(study, main, pair);
    if (verdict === "alike" || verdict === "uncertain") {
      open[verdict].push(`${first} v ${second}`);
    } else {
      const [better, than] = verdict === "first" ? [first, second] : [second, first];
      worse.set(better, [...worse.get(better) ?? [], than]);
    }
  }
  return [
    ...[...worse].map(([better, than]) => `${capitalized(better)} better than ${listText(than)}`),
    ...(open.alike.length > 0 ? [`No clear difference: ${listText(open.alike)}`] : []),
    ...(open.uncertain.length > 0 ? [`Not settled: ${listText(open.uncertain)}`] : []),
  ];
}

/** What limits for all pairs together settle between two arms. */
function verdictIn(
  { confidence, smallestDifference }: Study,
  { endpoint }: ArmEndpoint,
  { together }: ArmEndpoint["contrasts"][number],
): ReturnType<typeof verdictOfRange> {
  return verdictOfRange({ lower: together.lower, upper: together.upper }, {
    moreIsBetter: endpoint === "death",
    confidence,
    smallestThatMatters: smallestDifference.value,
  });
}
