import { estimandInWords } from "../../balance/estimand/mod.ts";
import { labelOf } from "../show/mod.ts";
import type { TableItem } from "../model/mod.ts";
import { scrolling } from "../page/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { type Content, h } from "../tree/mod.ts";
import { formatNumber, listText, uncapitalized } from "../../words/mod.ts";
import { planLines } from "./plan-section.ts";

/** One part of a trial's protocol, and what takes its place in a cohort. */
export interface TrialPart {
  /** Its anchor, after `trial-`. */
  id: string;
  part: string;
  /** What the trial would do. */
  trial: string;
  /** What is done with the cohort instead. */
  emulated: string;
}

/**
 * The randomised trial that would answer the study's question, part by part, and how the cohort
 * takes its place. Every word that the plan decides comes from the study file.
 *
 * @see Hernán & Robins (2016) Am J Epidemiol 183:758-764; Cashin and others (2025), items 6 and 7.
 */
export function targetTrial(study: Study): TrialPart[] {
  const said = new Map(planLines(study).map(([term, words]) => [term, words]));
  const of = (term: string) => said.get(term) ?? "";
  const { repair, replacement, by } = study.groups;
  const whom = estimandInWords(study.estimand);
  return [
    {
      id: "eligibility",
      part: "Eligibility",
      trial: of("Eligible").replace("in the cohort file", "with mitral regurgitation"),
      emulated: "The same rules, applied in this order to what the cohort file records of the " +
        "time before the operation; each patient is left out once.",
    },
    {
      id: "strategies",
      part: "Strategies",
      trial: `${repair}, against ${replacement}.`,
      emulated: of("Compared"),
    },
    {
      id: "assignment",
      part: "Assignment",
      trial: "At random, before the operation begins; patient and surgeon know it.",
      emulated: "By the surgeon and the patient. Assignment is taken to be as if at random among " +
        "patients alike in all that is adjusted for, and nothing else.",
    },
    {
      id: "time-zero",
      part: "Time zero",
      trial: "Assignment, on the day of the operation.",
      emulated: by === "final" ? `${startOf(of("Time zero"))} ${finalCaution}` : startOf(
        of("Time zero"),
      ),
    },
    {
      id: "follow-up",
      part: "Follow-up",
      trial: `From time zero to the endpoint, death, or ${
        formatNumber(Math.max(...study.horizons))
      } years, whichever comes first.`,
      emulated: `To the endpoint, death, or when the patient was last known of. ${
        endOf(of("Time zero"))
      }`,
    },
    {
      id: "outcomes",
      part: "Outcomes",
      trial: `${of("Endpoints")} Echocardiograms on days fixed beforehand.`,
      emulated: "As the files record them. A leak is known of only when somebody looked: visits " +
        "came when they came.",
    },
    {
      id: "contrast",
      part: "Causal contrast",
      trial: `The difference between the groups as assigned, at ${
        formatNumber(study.mainHorizon)
      } years, per 100 patients; ratios beside it.`,
      emulated: `The same difference ${whom}, ${
        by === "intended"
          ? "by the operation intended: the counterpart of an analysis by intention to treat"
          : "by the groups of the study file: patients count for what was done, as in an analysis as treated"
      }.`,
    },
    {
      id: "assumptions",
      part: "Assumptions",
      trial: "Randomisation makes the groups alike; who is lost to follow-up says nothing of " +
        "the outcome.",
      emulated: `No reason for the choice that also bears on the outcome is missing from what is ` +
        `adjusted for; every such patient could have had either operation; patients no longer ` +
        `followed fare as the others. Adjusted for: ${covariates(study)}.`,
    },
    {
      id: "analysis",
      part: "Analysis",
      trial: "Kaplan-Meier curves; cumulative incidence with death competing where the endpoint " +
        "is not death. No adjustment is needed.",
      emulated: `The same estimators. Weighted: ${uncapitalized(of("Weighting"))} Matched: ${
        uncapitalized(of("Matching"))
      } Missing covariates: ${missing[study.missing.method]}.`,
    },
  ];
}

const finalCaution =
  "What a patient left theatre with is decided after it: a group that time zero does not fix.";

const missing: Record<Study["missing"]["method"], string> = {
  impute: "imputed several times, the analysis made within each completed set and pooled",
  "mean-and-mark": "the mean of the others, marked by a column of its own",
  complete: "patients with one missing are left out",
};

/** Sentences of the plan's time zero: the label, and when follow-up was last sought. */
const startOf = (words: string) => words.replace(/ Follow-up was last sought.*$/, "");
const endOf = (words: string) => /Follow-up was last sought.*$/.exec(words)?.[0] ?? "";

function covariates({ adjustment, columns }: Study): string {
  return listText(
    adjustment.covariates.map(({ column }) => labelOf(column, "patients", columns)),
  );
}

/** The table's title, wherever it stands. */
export const targetTrialTitle =
  "The trial that would answer the question, and what takes its place";

/** The same as a section of the supplement, each part with an anchor. */
export function targetTrialTree(study: Study): Content {
  return h(
    "figure.table.long",
    {},
    scrolling(
      targetTrialTitle,
      h(
        "table.checklist",
        {},
        h(
          "thead",
          {},
          h(
            "tr",
            {},
            headings.map((label) => h("th", { scope: "col" }, label)),
          ),
        ),
        h(
          "tbody",
          {},
          targetTrial(study).map(({ id, part, trial, emulated }) =>
            h(
              "tr",
              { id: `trial-${id}` },
              h("th", { scope: "row" }, part),
              h("td", {}, trial),
              h("td", {}, emulated),
            )
          ),
        ),
      ),
    ),
  );
}

const headings = ["Part", "In the trial", "In this cohort"] as const;

/** The same as a table for Word. */
export function targetTrialTable(study: Study): TableItem {
  return {
    kind: "table",
    id: "target-trial",
    title: targetTrialTitle,
    caption: "Written out from the study file.",
    status: "planned",
    columns: [
      { key: "part", label: headings[0], kind: "text" },
      { key: "trial", label: headings[1], kind: "text" },
      { key: "emulated", label: headings[2], kind: "text" },
    ],
    rows: targetTrial(study).map(({ part, trial, emulated }) => ({ part, trial, emulated })),
  };
}
