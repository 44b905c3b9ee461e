import type { ReportModel } from "../model/mod.ts";
import { type ChecklistLine, evidenceIn } from "./evidence.ts";

/**
 * The 21 items of the TARGET statement for cohorts that take the place of a randomised trial, in
 * words of our own, each with where this report meets it.
 *
 * @see Cashin and others (2025) JAMA 334:1084-1093; BMJ 390:e087179.
 */
export function targetChecklist(model: ReportModel): ChecklistLine[] {
  const { section, table, figure, method, used, answer, tablesOfFindings, notes, line } =
    evidenceIn(
      model,
    );
  const trial = (id: string, text: string) => section(`trial-${id}`, text);
  const plan = (anchor: string, text: string) => [section(anchor, text)];
  const sensitivity = [
    ...table("four-ways-table", "whole-procedure", "intention", "missing-ways"),
    ...table("survival-paths-table", "valve-paths-table", "confounder-yardstick"),
  ];
  const limits = notes("cannot-tell") || answer.length > 0
    ? plan("cannot-tell", "what this cannot tell")
    : [];
  return [
    line(
      "T 1a",
      "Summary says that a target trial is emulated, and which",
      plan("target-trial", "the target trial"),
      "an abstract that says so",
    ),
    line("T 1b", "Summary names the sources of the data", []),
    line(
      "T 1c",
      "Summary of assumptions, methods, findings",
      answer,
      "an abstract in a journal's form",
    ),
    line("T 2", "Background, and what is not known", []),
    line("T 3", "The causal question", plan("question", "the question")),
    line(
      "T 4",
      "Why a target trial is emulated with these data",
      plan("target-trial", "the target trial"),
      "the trials that informed it",
    ),
    line(
      "T 5",
      "Sources of the data: purpose, kind, places, dates",
      plan("time-zero", "time zero"),
      "purpose, places and the dates of recruitment",
    ),
    line("T 6a", "Trial: eligibility", [trial("eligibility", "eligibility")]),
    line("T 6b", "Trial: strategies", [trial("strategies", "strategies")]),
    line("T 6c", "Trial: assignment at random, known to those assigned", [
      trial("assignment", "assignment"),
    ]),
    line("T 6d", "Trial: follow-up from assignment to when", [
      trial("time-zero", "time zero"),
      trial("follow-up", "follow-up"),
    ]),
    line("T 6e", "Trial: outcomes, how and when measured", [trial("outcomes", "outcomes")]),
    line("T 6f", "Trial: causal contrasts and measures of effect", [trial("contrast", "contrast")]),
    line("T 6g", "Trial: identifying assumptions", [trial("assumptions", "assumptions")]),
    line("T 6h", "Trial: analysis, missing values included", [trial("analysis", "analysis")]),
    line("T 7a", "Cohort: eligibility", [
      trial("eligibility", "eligibility"),
      ...table("flow-table"),
    ]),
    line("T 7b", "Cohort: strategies", [trial("strategies", "strategies"), ...table("procedures")]),
    line("T 7c", "Cohort: assignment", [trial("assignment", "assignment")]),
    line("T 7d", "Cohort: follow-up begins at assignment, and ends when", [
      trial("time-zero", "time zero"),
      trial("follow-up", "follow-up"),
    ]),
    line("T 7e", "Cohort: outcomes", [trial("outcomes", "outcomes"), ...table("echo-schedule")]),
    line("T 7f", "Cohort: causal contrasts", [trial("contrast", "contrast")]),
    line("T 7g(i)", "Cohort: assumptions, baseline confounding among them", [
      trial("assumptions", "assumptions"),
    ]),
    line("T 7g(ii)", "Cohort: variables of those assumptions", plan("adjusted", "adjusted for")),
    line("T 7h(i)", "Cohort: analysis, missing values included", [
      trial("analysis", "analysis"),
      ...(used.size > 0 ? plan("methods-run", "methods used") : []),
    ]),
    line("T 7h(ii)", "Cohort: analyses of sensitivity", [
      ...method("paths", "every path"),
      ...method("e-value", "E-value"),
      ...method("not-at-random", "values not missing at random"),
      ...method("confounder-yardstick", "measured confounders as a yardstick"),
    ]),
    line("T 8", "Numbers assessed, eligible and in each group", [
      ...table("flow-table"),
      ...figure("flow"),
    ]),
    line("T 9", "Baseline characteristics by group", table("characteristics")),
    line(
      "T 10",
      "Length of follow-up by group, and why it ended",
      [...table("completeness"), ...method("median-follow-up", "median follow-up")],
      "why it ended, for each contrast",
    ),
    line("T 11", "Missing values of every variable by group", table("missing-values")),
    line("T 12", "Outcomes by group", tablesOfFindings),
    line("T 13", "Effects with their precision, absolute and relative", [
      ...answer,
      ...tablesOfFindings,
      ...table("hazard-ratios"),
    ]),
    line("T 14", "Results of the analyses of sensitivity", sensitivity),
    line("T 15", "Findings in the light of the causal question", answer),
    line(
      "T 16",
      "Limitations: where trial and cohort differ, and whether to believe it",
      limits.length > 0 ? [...limits, section("target-trial", "the target trial")] : [],
    ),
    line("T 17", "Approval by an ethics committee", []),
    line(
      "T 18",
      "Registration: whether, when, where",
      model.lock?.registered ? plan("plan-lock", "when the plan was fixed") : [],
    ),
    line(
      "T 19",
      "Access to data, code and material",
      plan("elsewhere", "beside this page"),
      "raw data",
    ),
    line("T 20", "Funding and the role of funders", []),
    line("T 21", "Conflicts of interest", []),
  ];
}
