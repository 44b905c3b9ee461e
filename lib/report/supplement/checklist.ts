import { plannedResults, type ReportModel } from "../model/mod.ts";
import { type ChecklistLine, evidenceIn } from "./evidence.ts";
import { hasMapping } from "./mapping-section.ts";

/**
 * The items of the STROBE statement for cohort studies and of its extension to routinely collected
 * data, RECORD, shortened, each with where this report meets it.
 *
 * An item counts as met only where a section, a table, a figure or a field of the study file that
 * holds what it asks for is there; what needs a person to judge is not met.
 *
 * @see von Elm et al. (2007) Lancet 370:1453-1457 (STROBE). Benchimol et al. (2015) PLoS Med
 * 12:e1001885 (RECORD).
 */
export function checklist(model: ReportModel): ChecklistLine[] {
  const { study } = model;
  const { section, table, figure, method, used, answer, tablesOfFindings, notes, line } =
    evidenceIn(
      model,
    );
  const allPlanned = plannedResults(model);
  const exploratory = [...model.items.findings, ...model.items.tables].some(({ item }) =>
    item.status === "exploratory"
  );
  const plan = section("plan", "the plan");
  const subgroups = model.items.tables.filter(({ item }) => /subgroup/.test(item.id))
    .flatMap(({ item }) => table(item.id));
  return [
    line(
      "1a",
      "Design named in the title",
      /cohort/i.test(study.title) ? [section("title", "the title")] : [],
    ),
    line("1b", "Summary of what was done and found", answer, "an abstract in a journal's form"),
    line("2", "Background and rationale", []),
    line(
      "3",
      "Objectives and hypotheses",
      [section("question", "the question")],
      "a hypothesis stated beforehand",
    ),
    line("4", "Key elements of design", [plan]),
    line(
      "5",
      "Setting, locations and dates",
      [section("time-zero", "time zero")],
      "locations and the dates of recruitment",
    ),
    line("6a", "Eligibility, sources, selection and follow-up", [
      section("eligible", "eligible"),
      section("time-zero", "time zero"),
    ], "the source of the patients"),
    line(
      "6b",
      "Matching criteria, exposed and unexposed",
      used.has("matching") ? [section("matching-plan", "matching")] : [],
    ),
    line("7", "Outcomes, exposures, confounders defined", [
      section("endpoints", "endpoints"),
      section("compared", "groups"),
      section("adjusted", "adjusted for"),
    ]),
    line(
      "8",
      "Sources of data and methods of measurement",
      table("echo-schedule"),
      "how each variable was measured",
    ),
    line("9", "Efforts against bias", [
      ...method("matching", "matched pairs"),
      ...method("weighting", "weights"),
    ]),
    line("10", "How the study size came about", [
      ...method("power", "events needed"),
    ]),
    line("11", "How quantitative variables were handled", [section("adjusted", "adjusted for")]),
    line("12a", "Statistical methods, confounding included", [
      ...(used.size > 0 ? [section("methods-run", "methods used")] : []),
    ]),
    line("12b", "Subgroups and interactions", method("subgroups", "interaction")),
    line("12c", "How missing data were addressed", [
      ...(used.has("propensity") ? [section("adjusted", "adjusted for")] : []),
      ...method("multiple-imputation", "multiple imputation"),
    ]),
    line("12d", "How loss to follow-up was addressed", [
      ...method("completeness", "completeness of follow-up"),
    ]),
    line("12e", "Sensitivity analyses", [
      ...method("e-value", "E-value"),
      ...method("hidden-bias", "hidden bias in pairs"),
      ...method("between-visits", "recurrence between visits"),
    ]),
    line("13a", "Numbers at each stage", table("flow-table", "flow")),
    line("13b", "Reasons for not taking part", table("flow-table", "flow")),
    line("13c", "Flow diagram", figure("flow")),
    line("14a", "Characteristics of the patients", table("characteristics")),
    line("14b", "Missing values of each variable", table("missing-values")),
    line("14c", "Follow-up time", [
      ...table("completeness"),
      ...method("median-follow-up", "median follow-up"),
    ]),
    line("15", "Outcome events over time", tablesOfFindings),
    line("16a", "Unadjusted and adjusted estimates with precision", [
      ...table("survival-whole-table", "recurrence-whole-table"),
      ...tablesOfFindings,
    ]),
    line("16b", "Category boundaries of continuous variables", [
      ...(study.thresholds.length > 0 ? [section("thresholds", "thresholds")] : []),
    ]),
    line("16c", "Absolute risk for a meaningful time", answer),
    line("17", "Other analyses", [
      ...subgroups,
      ...(exploratory ? [section("planned", "what the plan asked for")] : []),
    ]),
    line("18", "Key results", answer),
    line("19", "Limitations", [
      ...(notes("cannot-tell") || answer.length > 0
        ? [section("cannot-tell", "what this cannot tell")]
        : []),
    ]),
    line("20", "Cautious overall interpretation", [
      ...(answer.length > 0 ? [section("how-sure", "how sure")] : []),
      section("cautions", "cautions"),
    ], "other evidence"),
    line(
      "21",
      "Generalisability",
      answer.length > 0 ? [section("cannot-tell", "of whom")] : [],
      "other centres",
    ),
    line("22", "Funding", []),
    line("R 1.1", "Type of data named in title or abstract", []),
    line("R 1.2", "Region and time of the data in title or abstract", []),
    line("R 1.3", "Linkage stated in title or abstract", []),
    line("R 6.1", "Codes or algorithms that select the population", [
      section("eligible", "eligible"),
    ]),
    line("R 6.2", "Validation of those codes", []),
    line("R 6.3", "Linkage shown by a diagram", []),
    line("R 7.1", "Complete list of codes of exposures, outcomes, confounders", [
      section("endpoints", "endpoints"),
      section("adjusted", "adjusted for"),
    ], "the codes as recorded, which data-demo/dictionary.json lists"),
    line("R 12.1", "Investigators' access to the database", []),
    line("R 12.2", "Data cleaning", [
      ...(hasMapping(study) ? [section("mapping", "columns, units and codes")] : []),
      ...table("flow-table", "flow"),
    ], "how values were corrected"),
    line("R 12.3", "Linkage between persons or institutions", []),
    line("R 13.1", "Selection of persons, filters included", [
      ...table("flow-table", "flow"),
      ...figure("flow"),
    ]),
    line("R 19.1", "What data not collected for research imply", [
      ...(notes("cannot-tell") ? [section("cannot-tell", "what this cannot tell")] : []),
    ], "misclassification and eligibility that changed"),
    line(
      "R 22.1",
      "Access to protocol, raw data and programs",
      [plan, section("elsewhere", "beside this page")],
      allPlanned.length === 0 ? "results planned by name, and raw data" : "raw data",
    ),
  ];
}
