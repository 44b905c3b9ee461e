import { type Analysis, hasColumn, numericColumn } from "../../cohort/model/mod.ts";
import { appliesTo } from "../../cohort/analysis/mod.ts";
import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import { splineKnots } from "../../regression/models/mod.ts";
import type { PlannedCovariate } from "../../study/plan/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import type { Choices, Dimension } from "./every-path.ts";

/** What is asked of every path. */
export type Question = "survival" | "valve";

/** The form of the propensity score, and of the models of standardisation. */
export type ScoreForm = "planned" | "splines" | "surgeon";

/** How a valve that failed is found and dated. */
export type ValveEndpoint = "valve-failure" | "found" | "midway" | "between-visits";

const designs = [
  { id: "overlap", label: "Weighted to the overlap" },
  { id: "everyone", label: "Weighted to everyone" },
  { id: "matched-closest", label: "Matched, closest first" },
  { id: "matched-descending", label: "Matched, highest score first" },
  { id: "matched-optimal", label: "Matched, least total distance" },
] as const;
const models = [
  { id: "standardised", label: "Regression, standardised" },
  { id: "doubly-robust", label: "Doubly robust" },
] as const;

/** How the groups are made comparable. */
export type PathDesign =
  | (typeof designs)[number]["id"]
  | (typeof models)[number]["id"]
  | "treated";

/**
 * The choices there are for a study's question, and the plan's own.
 *
 * Models of standardisation are for survival and in the planned form of the score. The surgeon
 * enters a score where the file has one. A recurrence is dated when it was found, midway between
 * the last clear echocardiogram and the one that found it, or left anywhere between them; the last
 * by the plan's weights and form of the score alone, since each of its errors takes many searches.
 * Starting the clock later is not among the choices:
 * it asks about those who lived until then, which is another question.
 */
export function studyChoices(
  analysis: Analysis,
  study: Study,
  question: Question,
): { dimensions: Dimension[]; planned: Choices; allowed: (choices: Choices) => boolean } {
  const scores: { id: ScoreForm; label: string }[] = [
    { id: "planned", label: "As planned" },
    { id: "splines", label: "Every measurement bent" },
    ...hasColumn(analysis, "surgeon") ? [{ id: "surgeon" as const, label: "And the surgeon" }] : [],
  ];
  const failure = study.endpoints.some(({ id }) => (id as string) === "valve-failure");
  const endpoints: { id: ValveEndpoint; label: string }[] = [
    ...failure ? [{ id: "valve-failure" as const, label: "Failure of the valve" }] : [],
    { id: "found", label: "Recurrence, when found" },
    { id: "midway", label: "Recurrence, midway between visits" },
    { id: "between-visits", label: "Recurrence, anywhere between visits" },
  ];
  const ways = study.estimand === "treated"
    ? [{ id: "treated", label: "Weighted to the repaired" }, ...designs]
    : designs;
  const dimensions: Dimension[] = [
    {
      id: "design",
      label: "Design",
      options: question === "survival" ? [...ways, ...models] : ways,
    },
    {
      id: "missing",
      label: "Missing values",
      options: [
        { id: "impute", label: "Imputed" },
        { id: "mean-and-mark", label: "Mean and mark" },
        { id: "complete", label: "Complete patients only" },
      ],
    },
    { id: "score", label: "Score", options: scores },
    {
      id: "groups",
      label: "Groups",
      options: [
        { id: "intended", label: "As intended" },
        { id: "final", label: "As done" },
      ],
    },
    ...question === "valve" ? [{ id: "endpoint", label: "Endpoint", options: endpoints }] : [],
  ];
  const modelled = new Set<string>(models.map(({ id }) => id));
  return {
    dimensions,
    planned: {
      design: study.estimand,
      missing: study.missing.method,
      score: "planned",
      groups: study.groups.by,
      ...question === "valve" ? { endpoint: endpoints[0]!.id } : {},
    },
    allowed: ({ design, score, endpoint }) =>
      (score === "planned" || !modelled.has(design!)) &&
      (endpoint !== "between-visits" || isBetweenVisits(study, design!, score!)),
  };
}

/** Whether recurrence between visits is worked out by this design and form of the score. */
export function isBetweenVisits(
  { estimand }: Pick<Study, "estimand">,
  design: string,
  score: string,
): boolean {
  return design === estimand && score === "planned";
}

/** The plan with another form of the score. */
export function planWithScore(analysis: Analysis, study: Study, form: ScoreForm): Study {
  const { covariates } = study.adjustment;
  if (form === "planned") return study;
  const changed: PlannedCovariate[] = form === "surgeon"
    ? [...covariates, { column: "surgeon", form: "category", missing: "indicator" }]
    : covariates.map((plan) => bent(analysis, plan));
  return { ...study, adjustment: { ...study.adjustment, covariates: changed } };
}

/** A measurement that is planned as a line gets a spline with four knots at its quantiles. */
function bent(analysis: Analysis, plan: PlannedCovariate): PlannedCovariate {
  if (plan.form !== "linear") return plan;
  if (dictionaryColumn("patients", plan.column, analysis.study.columns)?.type !== "number") {
    return plan;
  }
  const applies = appliesTo(analysis, plan.column);
  const known = numericColumn(analysis, plan.column)
    .filter((value, i) => applies[i] === 1 && !Number.isNaN(value));
  // too few different values for four knots: a line will do
  if (new Set(known).size < 20) return plan;
  return {
    column: plan.column,
    form: "spline",
    knots: splineKnots(known, 4),
    missing: plan.missing,
  };
}
