import { designMatrix } from "../../balance/score/mod.ts";
import type { Analysis } from "../../cohort/model/mod.ts";
import { followUpOf } from "../../cohort/follow-up/mod.ts";
import { pseudoValues } from "../../competing/incidence/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { type PreferenceInstrument, preferenceInstrument } from "./preference-instrument.ts";

/** What the preference of the surgeon gives, or why there is no such instrument. */
export type StudyInstrument = PreferenceInstrument | { none: string };

/**
 * The surgeon's preference as an instrument for survival at the study's main horizon, the plan's
 * covariates held constant; see `preferenceInstrument`.
 *
 * @param analysis With covariates completed, or marked, as planned.
 */
export function studyInstrument(analysis: Analysis, study: Study): StudyInstrument {
  const { surgeon } = analysis.columns;
  if (!Array.isArray(surgeon) || surgeon.some((code) => code === "")) {
    return { none: "The surgeon is not recorded for every patient." };
  }
  const { time, event } = followUpOf(analysis, "death");
  try {
    const died = pseudoValues({ time, event }, { time: study.mainHorizon });
    return preferenceInstrument({
      outcome: died.map((value) => 1 - value),
      treated: analysis.treated,
      surgeon,
      covariates: designMatrix(analysis, study).covariates,
    }, { confidence: study.confidence });
  } catch (error) {
    if (error instanceof DataError) return { none: `${error.message}.` };
    throw error;
  }
}
