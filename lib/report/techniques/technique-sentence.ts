import type { ArmEndpoint, ComparisonAnswer } from "../../comparisons/arms/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { PlannedComparison } from "../../study/plan/mod.ts";
import { capitalized, inSentence, listText, shareText } from "../../words/mod.ts";
import { verdictOfRange } from "../show/mod.ts";

/**
 * What the comparisons of techniques say of the valve, or of survival where the plan has no
 * endpoint of the valve: what is settled between arms by the limits that apply to all pairs
 * together, and among whom; the share of each arm, and what is not settled; then survival.
 * A paragraph a comparison, the first sentence of which stands by itself.
 */
export function techniqueSentence(
  study: Study,
  compared: readonly ComparisonAnswer[],
): string {
  if (compared.length === 0) return "The plan compares no techniques.";
  return compared.map((one) => `${saidOf(study, one).join(". ")}.`).join("\n\n");
}

/** The population of a comparison, where its label does not name it. */
function among({ populations }: Study, { population, label }: PlannedComparison): string {
  const of = populations.find(({ id }) => id === population)?.label;
  if (of === undefined || label.toLowerCase().includes(of.toLowerCase())) return "";
  return ` (${inSentence(of)})`;
}

/** Sentences without their full stops. */
function saidOf(study: Study, { comparison, answers, why }: ComparisonAnswer): string[] {
  const name = `${comparison.label}${among(study, comparison)}`;
  if (!answers) return [`${name}: ${why}`];
  const of = (id: string) => answers.endpoints.find(({ endpoint }) => endpoint === id);
  const main = of("valve-failure") ?? of("recurrence") ?? of("death") ?? answers.endpoints[0];
  if (!main) return [`${name}: the plan has no outcome for it`];
  if (main.contrasts.length === 0) return [`${name}: no number, since ${main.why}`];
  const alive = of("death");
  const { better, open } = settledBetween(study, main);
  const [first, ...others] = better.map((words) =>
    `${capitalized(words)}${among(study, comparison)}`
  );
  return [
    first ?? `${name}: ${open}`,
    ...others,
    `${capitalized(outcomeOf(main))} at ${study.mainHorizon} years: ${sharesOf(main)}`,
    ...(first && open !== "" ? [capitalized(open)] : []),
    ...(alive && alive !== main && alive.contrasts.length > 0 ? survivalOf(study, alive) : []),
  ];
}

function survivalOf(study: Study, alive: ArmEndpoint): string[] {
  const { better, open } = settledBetween(study, alive);
  const said = [...better, ...(open === "" ? [] : [open])];
  return [`Alive then: ${sharesOf(alive)}; ${said.join("; ")}`];
}

const outcomes: Record<string, { name: string; less: string }> = {
  death: { name: "alive", less: "more alive" },
  "valve-failure": { name: "valve failure", less: "less valve failure" },
  recurrence: { name: "recurrence", less: "less recurrence" },
};

function outcomeOf({ endpoint, label }: ArmEndpoint): string {
  return outcomes[endpoint]?.name ?? inSentence(label);
}

/** "ring alone 57% and chord-sparing replacement 2%" */
function sharesOf({ arms, contrasts }: ArmEndpoint): string {
  const compared = new Set(contrasts.flatMap(({ first, second }) => [first, second]));
  return listText(
    arms.filter(({ id }) => compared.has(id)).map(({ label, ...share }) =>
      `${inSentence(label)} ${shareText(share, { digits: 0 })}`
    ),
  );
}

/** Which arm did better than which, and what is not settled, each in words. */
function settledBetween(study: Study, main: ArmEndpoint): { better: string[]; open: string } {
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
  const { less } = outcomes[main.endpoint] ?? { less: `less ${inSentence(main.label)}` };
  // with two arms their names stand beside it
  const named = (pairs: readonly string[]) =>
    main.contrasts.length > 1 ? `: ${listText(pairs)}` : "";
  return {
    better: [...worse].map(([better, than]) =>
      `${less} with ${better} than with ${listText(than, "or")}`
    ),
    open: [
      ...(open.alike.length > 0 ? [`no clear difference${named(open.alike)}`] : []),
      ...(open.uncertain.length > 0 ? [`not settled${named(open.uncertain)}`] : []),
    ].join("; "),
  };
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
