import { drawnRows, ENOUGH } from "../../numerics/mod.ts";
import { countText } from "../../words/mod.ts";
import { type Analysis, butWith, type Cohort } from "../model/mod.ts";
import { recordedOnly } from "./completed-analyses.ts";
import type { Study } from "../../study/file/mod.ts";
import { analysisOf, cohortAmong, selectEligible } from "./eligible.ts";

/**
 * Patients drawn at random by the plan's seed where there are more than `most`: the analysis itself
 * where there are not. Completed sets are left behind.
 *
 * @param most Default {@link ENOUGH}.
 */
export function drawnFrom(analysis: Analysis, most = ENOUGH): Analysis {
  if (analysis.n <= most) return analysis;
  const rows = drawnRows(analysis.n, { seed: analysis.study.seed, most });
  const { flow, excluded, study } = analysis;
  const drawn = analysisOf(recordedOnly(analysis), study, rows, { flow, excluded });
  return butWith(drawn, { rows: rows.map((row) => analysis.rows[row]!) });
}

/**
 * A cohort of the plan's eligible patients alone, drawn at random where there are more than enough
 * (see `enoughOf`); the cohort itself where there are not.
 */
export function enoughOfCohort(cohort: Cohort, study: Study): Cohort {
  if (cohort.n <= ENOUGH) return cohort;
  const eligible = selectEligible(cohort, study);
  const some = drawnFrom(eligible);
  return some === eligible ? cohort : cohortAmong(cohort, some.rows);
}

/** What a caption has to say of patients drawn: nothing where nobody was. */
export function drawnNotes(drawn: { n: number }, of: { n: number }): string[] {
  return drawn.n === of.n
    ? []
    : [`${countText(drawn.n)} of ${countText(of.n)} patients, drawn at random.`];
}
