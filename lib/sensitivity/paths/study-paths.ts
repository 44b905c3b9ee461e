import type { Cohort } from "../../cohort/model/mod.ts";
import { selectEligible } from "../../cohort/analysis/mod.ts";
import { type CompletedSets, completedSets, firstSets } from "../../missing/study/mod.ts";
import { poolIntervals, setsForMany } from "../../missing/pool/mod.ts";
import { DataError, inWorkers, MANY } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { type Choices, everyPath } from "./every-path.ts";
import { type PathUnit, type UnitAnswer, unitAnswers } from "./path-unit.ts";
import {
  type FailedPath,
  type Path,
  type SpecificationCurve,
  specificationCurve,
} from "./specification-curve.ts";
import {
  type PathDesign,
  planWithScore,
  type Question,
  type ScoreForm,
  studyChoices,
  type ValveEndpoint,
} from "./study-choices.ts";

/** A unit with the choices that lead to it. */
interface PlacedUnit {
  choices: { missing: string; score: string; groups: string };
  /** Which completed set. */
  set: number;
  unit: PathUnit;
}

/** One curve a question; null where no path gave an answer. */
export type StudyPaths = Record<Question, SpecificationCurve | null>;

/**
 * Every defensible way of comparing the study's groups at its main horizon: survival, and failure
 * of the valve with death competing.
 *
 * Values are imputed once for each way of taking the groups; a score is fitted once for each
 * sample, set and form, and shared by all designs and endpoints. Where values are imputed each path
 * is worked out in each completed set and pooled. Differences are repair minus replacement.
 *
 * The same result whatever the number of workers, which have the permissions of the program that
 * starts them.
 *
 * @param options.sets Completed sets of the paths that impute, default 5, of many patients fewer
 * (see `setsForMany`): paths differ by more than what further sets would change.
 * @param options.completed The study's completed sets, where they are at hand.
 * @param options.workers Default one a core, of more than 20,000 patients none: 0 works everything
 * out here.
 * @example
 * ```ts ignore
 * import { openAnalysis, studyPaths } from "mitral";
 * const { study, cohort } = await openAnalysis();
 * const { survival } = await studyPaths(cohort, study);
 * survival?.influence[0]?.label; // the choice that moves the answer most
 * ```
 * A way of treating missing values that leaves nobody fails in its own paths only.
 *
 * @throws {DataError} if the cohort lacks a column that the plan's eligibility or groups need.
 */
export async function studyPaths(
  cohort: Cohort,
  study: Study,
  options: { sets?: number; workers?: number; completed?: CompletedSets } = {},
): Promise<StudyPaths> {
  const analysis = selectEligible(cohort, study);
  const asked = (["survival", "valve"] as const).map((question) => ({
    question,
    ...studyChoices(analysis, study, question),
  }));
  const optionsOf = (
    id: string,
  ) => [
    ...new Set(
      asked.flatMap(({ dimensions }) =>
        dimensions.filter((own) => own.id === id).flatMap((own) => own.options.map((one) => one.id))
      ),
    ),
  ];
  const units: PlacedUnit[] = [];
  for (const groups of optionsOf("groups") as Study["groups"]["by"][]) {
    const plan = { ...study, groups: { ...study.groups, by: groups } };
    const taken = selectEligible(cohort, plan);
    for (const missing of optionsOf("missing") as CompletedSets["method"][]) {
      const sets = options.sets ?? setsForMany(5, taken.n);
      const atHand = options.completed;
      // groups as planned have been completed for other results already
      const asPlanned = groups === study.groups.by && missing === "impute" && atHand?.imputed;
      // a plan that takes complete patients only has none of the others in its sets
      const isOfThese = asPlanned && atHand.analysis(0).n === taken.n;
      const completed = isOfThese && atHand.sets >= sets
        ? firstSets(atHand, sets)
        : await completedSets(taken, plan, {
          method: missing,
          sets,
          ...(options.workers === undefined ? {} : { workers: options.workers }),
        }).catch((error: unknown) => {
          if (error instanceof DataError) return null;
          throw error;
        });
      if (!completed) continue;
      for (const score of optionsOf("score") as ScoreForm[]) {
        const scored = planWithScore(taken, plan, score);
        for (let set = 0; set < completed.sets; set++) {
          units.push({
            choices: { missing, score, groups },
            set,
            unit: {
              analysis: completed.analysis(set),
              study: scored,
              designs: optionsOf("design") as PathDesign[],
              questions: asked.map(({ question }) => question),
              endpoints: optionsOf("endpoint") as ValveEndpoint[],
              models: score === "planned",
            },
          });
        }
      }
    }
  }
  // copies of so many patients for workers would cost more memory than they save time
  const workers = options.workers ?? (analysis.n > MANY ? 0 : undefined);
  const answers = await answersOf(units.map(({ unit }) => unit), workers);
  const imputed = new Set(
    units.filter(({ choices }) => choices.missing === "impute").map(({ set }) => set),
  ).size;
  const curves = asked.map(({ question, dimensions, planned, allowed }) => {
    const paths: Path[] = [];
    const failed: FailedPath[] = [];
    for (const choices of everyPath(dimensions, allowed)) {
      const found = answerTo(question, choices, { units, answers }, study.confidence);
      if ("reason" in found) failed.push(found);
      else paths.push(found);
    }
    if (paths.length === 0) return [question, null];
    const smallestDifference = study.smallestDifference.value;
    return [
      question,
      {
        ...specificationCurve({ dimensions, paths, planned, failed }, { smallestDifference }),
        ...(imputed > 0 && { sets: imputed }),
      },
    ];
  });
  return Object.fromEntries(curves);
}

async function answersOf(units: PathUnit[], workers: number | undefined): Promise<UnitAnswer[][]> {
  const answers: UnitAnswer[][] = [];
  const isHere = workers === undefined || workers === 0;
  await inWorkers<PathUnit[], number, UnitAnswer[]>({
    worker: new URL("./path-worker.ts", import.meta.url),
    what: "work out the paths",
    setup: units,
    tasks: units.map((_, place) => place),
    workers: workers ?? navigator.hardwareConcurrency,
    ...(isHere && { here: (place) => unitAnswers(units[place]!) }),
  }, (place, answer) => answers[place] = answer);
  return answers;
}

/** One path's answer: of its one unit, or pooled over its completed sets. */
function answerTo(
  question: Question,
  choices: Choices,
  { units, answers }: { units: PlacedUnit[]; answers: UnitAnswer[][] },
  confidence: number,
): Path | FailedPath {
  const own = units.flatMap((placed, k) => {
    const { missing, score, groups } = placed.choices;
    const fits = missing === choices.missing && score === choices.score &&
      groups === choices.groups;
    const answer = fits
      ? answers[k]!.find((one) =>
        one.question === question && one.design === choices.design &&
        (one.endpoint ?? undefined) === choices.endpoint
      )
      : undefined;
    return answer ? [{ answer, n: placed.unit.analysis.n }] : [];
  });
  const without = own.find(({ answer }) => answer.difference === undefined);
  if (without || own.length === 0) {
    return { choices, reason: without?.answer.reason ?? "No sample was made for it." };
  }
  const differences = own.map(({ answer }) => answer.difference!);
  const { estimate, standardError, lower, upper } = differences.length === 1
    ? differences[0]!
    : poolIntervals(differences, { confidence, units: own[0]!.n });
  if (!(lower <= estimate && estimate <= upper)) {
    return { choices, reason: "No error could be estimated in some completed set." };
  }
  return { choices, estimate, standardError, lower, upper };
}
