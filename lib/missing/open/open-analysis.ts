import { drawnFrom, selectEligible } from "../../cohort/analysis/mod.ts";
import { reachablePlan } from "../../cohort/follow-up/mod.ts";
import { keepAnswers } from "../../cohort/kept/mod.ts";
import { readCohort } from "../../cohort/mod.ts";
import {
  type Analysis,
  type AsPlanned,
  butWith,
  type Cohort,
  planned,
} from "../../cohort/model/mod.ts";
import { raised } from "../../numerics/mod.ts";
import { openStudy, runPaths, type Study } from "../../study/file/mod.ts";
import type { GroupPhrases } from "../../study/plan/mod.ts";
import { countText } from "../../words/mod.ts";
import { chainsFrom, completedSets, withCompletions } from "../study/mod.ts";
import { strayWords } from "../../study/plan/mod.ts";

/** A study opened for a notebook: its plan, its files, its patients. */
export interface OpenedAnalysis {
  /** The plan and where its files lie. */
  readonly study: Study;
  /** Everybody in the files. */
  readonly cohort: Cohort;
  /** Those eligible, with their groups. */
  readonly analysis: Analysis;
  /** How many they are, in words: "1,607 patients". */
  readonly patients: string;
  /** Names of the groups, as headings have them. */
  readonly labels: AsPlanned["labels"];
  /** The groups within a sentence. */
  readonly phrases: GroupPhrases;
  /** Years after operation at which results are stated. */
  readonly horizons: number[];
  /** The one of them at which the main answer is stated. */
  readonly mainHorizon: number;
  /** Level of all limits, such as 0.95. */
  readonly confidence: number;
  /** Counts below this are not published. */
  readonly smallestCell: number;
  /** What the plan says of every table and figure. */
  readonly asPlanned: AsPlanned;
}

/**
 * Opens the study, reads its files and chooses the eligible patients: the first cell of a notebook.
 *
 * Missing covariates are treated as the plan says. Where it has them imputed, the analysis has its
 * completed sets with it, and scores, weights and pairs are made in each; a report makes the sets
 * once and hands them to every notebook. Where the plan takes complete patients only, the others
 * are left out as one more step of the flow.
 *
 * Times after operation are those of the plan that both groups were followed to; of any other the
 * reader is warned, see `reachablePlan`.
 *
 * Which results are planned is not among what it gives: the report knows it from the id of what is
 * shown (see `isPlanned`).
 *
 * @example
 * ```ts
 * import { openAnalysis } from "mitral";
 * const { study, analysis, asPlanned } = await openAnalysis();
 * ```
 * @param path The study file; default, the one the report runs on, else the demonstration's.
 * @throws {ProblemsError} if the study file or the cohort's files cannot be used.
 */
export async function openAnalysis(path?: string): Promise<OpenedAnalysis> {
  const plan = await openStudy(path);
  const cohort = await readCohort(plan);
  const eligible = await treatedAsPlanned(selectEligible(cohort, plan), path === undefined);
  const { study, changes } = reachablePlan(eligible);
  raised([
    ...strayWords(plan).map(({ where, what }) => `In the plan, ${where} ${what}.`),
    ...changes,
  ]);
  const analysis: Analysis = butWith(eligible, { study });
  const { answers } = path === undefined ? runPaths() : {};
  const values = analysis.n * (analysis.completions?.length ?? 1);
  if (answers !== undefined && values <= mostKept) {
    keepAnswers(analysis, await Deno.readFile(answers));
  }
  const asPlanned = planned(analysis);
  const { labels, phrases, horizons, mainHorizon, confidence, smallestCell } = asPlanned;
  return {
    study,
    cohort,
    analysis,
    patients: `${countText(analysis.n)} patients`,
    labels,
    phrases,
    horizons,
    mainHorizon,
    confidence,
    smallestCell,
    asPlanned,
  };
}

/** Patients times completed sets up to which answers take little room. */
const mostKept = 100_000;

/**
 * Eligible patients with their missing covariates treated as the plan says.
 *
 * @param ofRun Whether the study is the run's, whose completed sets may be at hand.
 * @throws {DataError} where a covariate that must be known is not, or nobody is complete.
 */
export async function treatedAsPlanned(analysis: Analysis, ofRun: boolean): Promise<Analysis> {
  const { study } = analysis;
  const { completed: kept } = ofRun ? runPaths() : {};
  const text = kept === undefined
    ? undefined
    : await Deno.readTextFile(kept).catch(() => undefined);
  const chains = text === undefined ? [] : chainsFrom(text);
  return withCompletions(
    analysis,
    await completedSets(analysis, study, chains.length > 0 ? { chains } : {}),
  );
}

/**
 * As many patients as it takes to ask whether the answer hangs on a choice: all of them up to
 * 50,000; of more, 50,000 drawn at random by the plan's seed, their missing covariates treated
 * anew as planned. What is worked out in them many times over costs no more in a larger registry,
 * and its own error is at most about 0.5 per 100; the answers themselves are those of everybody.
 *
 * @example
 * ```ts
 * import { enoughOf, openAnalysis } from "mitral";
 * const { analysis } = await openAnalysis();
 * await enoughOf(analysis) === analysis; // true: there are no more than 50,000
 * ```
 * @throws {DataError} where missing covariates of those drawn cannot be treated as planned.
 */
export async function enoughOf(analysis: Analysis): Promise<Analysis> {
  const drawn = drawnFrom(analysis);
  return drawn === analysis ? analysis : await treatedAsPlanned(drawn, false);
}
