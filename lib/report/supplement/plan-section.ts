import { dictionaryColumn } from "../../cohort/dictionary/mod.ts";
import { type BuiltInEndpoint, isBuiltIn } from "../../study/parts/mod.ts";
import type { EligibilityRule, OwnColumn, Threshold } from "../../study/plan/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { labelOf, sentence } from "../show/mod.ts";
import { formatNumber, inSentence, listText } from "../../words/mod.ts";

/** Columns of the study's own. */
type Own = readonly OwnColumn[];

/** One line of the plan in words: what it is about, what it says, and its anchor. */
export type PlanLine = [term: string, text: string, anchor?: string];

/** The study file in words: who, what was compared, how, with every setting. */
export function planLines(study: Study): PlanLine[] {
  const lines: PlanLine[] = [
    ["Eligible", eligibility(study), "eligible"],
    ["Compared", groups(study), "compared"],
    [
      "Time zero",
      `${sentence(study.timeZero.label)} Follow-up was last sought ${
        closing(study.timeZero.closingYear)
      }.`,
      "time-zero",
    ],
    ["Endpoints", endpoints(study), "endpoints"],
    ["Primary endpoint", primary(study), "primary"],
    ["Population the results apply to", estimands[study.estimand]],
    ["Adjusted for", covariates(study), "adjusted"],
    ["Matching", matching(study), "matching-plan"],
    ["Weighting", weighting(study)],
    [
      "Stated at",
      `${
        listText(study.horizons.map(String))
      } years after operation; restricted mean survival to ${study.restrictedMeanHorizon} years.`,
    ],
    ["Thresholds", thresholds(study.thresholds), "thresholds"],
    [
      "Uncertainty",
      `Intervals cover ${
        formatNumber(study.confidence * 100)
      }%; an interval comes first, a p value second, and balance is never tested. Curves are drawn thin and pale where fewer than ${study.smallestAtRisk} remain at risk; counts below ${study.smallestCell} are not published.`,
    ],
    [
      "Chance",
      `Every random draw comes from seed ${study.seed}: the same files give the same numbers.`,
    ],
  ];
  return lines.filter(([, text]) => text !== "");
}

function eligibility(study: Study): string {
  if (study.eligibility.length === 0) return "Every patient in the cohort file.";
  return `Every patient in the cohort file, but for: ${
    listText(study.eligibility.map((rule) => {
      const words = ruleWords(rule, study.columns);
      return words ? `${rule.reason} (${words})` : rule.reason;
    }))
  }.`;
}

function ruleWords({ column, exclude }: EligibilityRule, own: Own): string {
  const known = dictionaryColumn("patients", column, own);
  // the reason says it already where the column only says yes or no
  if (known?.type === "binary" && exclude.oneOf?.length === 1) return "";
  const parts: string[] = [];
  if (exclude.oneOf) {
    parts.push(`is ${exclude.oneOf.map((code) => codeLabel(column, code, own)).join(" or ")}`);
  }
  if (exclude.below !== undefined) parts.push(`below ${exclude.below}`);
  if (exclude.above !== undefined) parts.push(`above ${exclude.above}`);
  if (exclude.missing) parts.push("missing");
  return `${labelOf(column, "patients", own)} ${parts.join(" or ")}`;
}

function groups({ groups: { by, repair, replacement } }: Study): string {
  if (by === "rules") return `${repair} and ${replacement}, by the rules of the study file.`;
  const how = by === "intended"
    ? "by the operation intended: an attempted repair that ended as a replacement stays in the first group"
    : "by the operation the patient left theatre with, which a conversion changes";
  return `${repair} and ${replacement}, ${how}.`;
}

function endpoints(study: Study): string {
  return study.endpoints.map(({ id, label, competing }) => {
    const whole = withName(id, label);
    return competing.length === 0
      ? sentence(whole)
      : sentence(`${whole}, competing with ${listText(competing.map((name) => rivals[name]))}`);
  }).join(" ");
}

/** An endpoint's definition after the name it has in figures and tables, where it lacks that. */
function withName(id: string, label: string): string {
  const name = isBuiltIn(id) ? endpointNames[id] : undefined;
  const isNamed = !name || label.toLowerCase().startsWith(name.toLowerCase());
  return isNamed ? label : `${name}: ${inSentence(label)}`;
}

const endpointNames: Record<BuiltInEndpoint, string> = {
  death: "Death",
  "valve-failure": "Valve failure",
  recurrence: "Recurrence",
  "recurrence-severe": "Severe recurrence",
  reoperation: "Reoperation",
};

function primary({ endpoints, primary: named }: Study): string {
  const found = endpoints.find(({ id }) => id === named?.endpoint);
  return found && named ? `${sentence(found.label)} ${sentence(named.rest)}` : "";
}

const rivals = {
  death: "death",
  reintervention: "reintervention for another reason",
} as const;

const estimands: Record<Study["estimand"], string> = {
  everyone: "Weighted results: everyone eligible. Matched results: the patients matched.",
  treated: "Weighted results: patients like those repaired. Matched results: the patients matched.",
  overlap:
    "Weighted results: patients for whom either operation was a real choice. Matched results: " +
    "the patients matched.",
};

function covariates(study: Study): string {
  const { adjustment: { covariates: planned, interactions }, columns: own } = study;
  const labelled = (column: string) => labelOf(column, "patients", own);
  const products = interactions.map(([one, other]) => `${labelled(one)} with ${labelled(other)}`);
  return `${
    listText(planned.map((covariate) => {
      const label = labelled(covariate.column);
      switch (covariate.form) {
        case "linear":
          return label;
        case "spline":
          return `${label} (restricted cubic spline, knots ${covariate.knots.join(", ")})`;
        case "category":
          return covariate.reference
            ? `${label} (categories, against ${
              codeLabel(covariate.column, covariate.reference, own)
            })`
            : `${label} (categories)`;
      }
    }))
  }${products.length > 0 ? `; the products of ${listText(products)}` : ""}. ${
    missingValues(study)
  }`;
}

/** What is done about missing values, by the plan's method. */
function missingValues(study: Study): string {
  const { missing, adjustment, columns: own } = study;
  const named = (how: "imputed" | "stop") =>
    adjustment.covariates.filter((covariate) => covariate.missing === how).map(({ column }) =>
      labelOf(column, "patients", own)
    );
  const stopped = named("stop");
  const none = stopped.length > 0 ? [`None may be missing: ${listText(stopped)}.`] : [];
  return [...missingWays[missing.method](study, named("imputed")), ...none].join(" ");
}

const missingWays: Record<
  Study["missing"]["method"],
  (study: Study, filled: string[]) => string[]
> = {
  impute: ({ missing: { sets } }) => [
    `A missing value is drawn ${
      sets === undefined ? "once for each per cent of incomplete patients" : `${sets} times`
    } (of very many patients less often) from models of what is known, the outcome among ` +
    "it; results are pooled over the completed sets.",
  ],
  complete: () => ["Patients with any of them missing are left out."],
  "mean-and-mark": ({ adjustment: { covariates } }, filled) => [
    ...(covariates.some(({ missing }) => missing === "indicator")
      ? ["A missing value takes the mean of the others and is marked by a column of its own."]
      : []),
    ...(filled.length > 0 ? [`Filled in without a mark: ${listText(filled)}.`] : []),
  ],
};

function matching({ matching: plan, columns: own }: Study): string {
  const { caliper, partners: most, search, begin, reuse, alike } = plan;
  const partners = most === 1 ? "one partner" : `up to ${most} partners`;
  const agree = alike.length > 0
    ? `, agreeing in ${listText(alike.map((column) => labelOf(column, "patients", own)))}`
    : "";
  return `Each patient of the first group with ${partners} of the second${agree}, nearest on the ` +
    `logit of the propensity score within ${caliper} pooled standard deviations, ` +
    `${search === "whole" ? "with the smallest total distance" : turns[begin]}, ${
      reuse ? "with" : "without"
    } replacement. Pairs are analysed as pairs.`;
}

const turns: Record<Study["matching"]["begin"], string> = {
  highest: "from the highest score down",
  lowest: "from the lowest score up",
  "as-listed": "in the order of the file",
  closest: "closest pairs first",
};

function weighting({ estimand, weights: { stabilized, truncate } }: Study): string {
  const cut = truncate
    ? `cut at percentiles ${truncate.map((p) => formatNumber(p * 100)).join(" and ")}`
    : "not cut";
  // overlap weights lie between 0 and 1: there is nothing to stabilise
  if (estimand === "overlap") {
    return `Overlap weights from the propensity score: each patient by the chance of the other ` +
      `operation; ${cut}; variance robust.`;
  }
  return `By the propensity score, ${
    stabilized ? "stabilised" : "not stabilised"
  }, ${cut}; variance robust.`;
}

function thresholds(planned: readonly Threshold[]): string {
  return planned.map(({ label, source }) => `${label} (${source}).`).join(" ");
}

/** A decimal year in words: 2024.5 is the middle of 2024. */
function closing(year: number): string {
  const whole = Math.floor(year);
  const part = year - whole;
  if (part === 0) return `at the start of ${whole}`;
  return part === 0.5
    ? `in the middle of ${whole}`
    : `at ${formatNumber(part * 12, { digits: 0 })} months into ${whole}`;
}

function codeLabel(column: string, code: string | number, own: Own): string {
  const found = dictionaryColumn("patients", column, own)?.categories?.find((category) =>
    category.code === String(code)
  );
  return found ? found.label.toLowerCase() : String(code);
}
