import type { z } from "zod";
import { namedBy, type Rule } from "../parts/mod.ts";
import type { Plan } from "./schema.ts";

type Path = (string | number)[];
type Add = (path: Path, message: string) => void;

/**
 * Checks what no part of a plan can check by itself: that ids are there once, and what is named.
 */
export function checkPlan(plan: Plan, context: z.RefinementCtx): void {
  const add: Add = (path, message) => context.addIssue({ code: "custom", path, message });
  if (!plan.horizons.includes(plan.mainHorizon)) {
    const message = `must be one of the horizons ${plan.horizons.join(", ")}, ` +
      `got ${plan.mainHorizon}`;
    add(["mainHorizon"], message);
  }
  checkInteractions(plan, add);
  checkPopulations(plan, add);
  checkComparisons(plan, add);
  checkProgramme(plan, add);
  checkExpected(plan, add);
  checkRepeated(plan, add);
}

function checkInteractions({ adjustment }: Plan, add: Add): void {
  const adjusted = adjustment.covariates.map((covariate) => covariate.column);
  adjustment.interactions.forEach(([one, other], i) => {
    const stranger = [one, other].find((name) => !adjusted.includes(name));
    const message = stranger !== undefined
      ? `must be of columns among the covariates, got ${JSON.stringify(stranger)}`
      : one === other
      ? "must be of two different columns (for a bend in one, use a spline)"
      : undefined;
    if (message !== undefined) add(["adjustment", "interactions", i], message);
  });
}

function checkPopulations(plan: Plan, add: Add): void {
  const ids = plan.populations.map(({ id }) => id);
  plan.populations.forEach(({ rule }, i) => {
    if (rule) checkRule(rule, plan, ids.slice(0, i), ["populations", i, "rule"], add);
  });
  oneOf(plan.mainPopulation, ids, "populations", ["mainPopulation"], add);
  for (const group of ["repair", "replacement"] as const) {
    const rule = plan.groups.rules?.[group];
    if (rule) checkRule(rule, plan, ids, ["groups", "rules", group], add);
  }
}

function checkComparisons(plan: Plan, add: Add): void {
  const populations = plan.populations.map(({ id }) => id);
  const endpoints = plan.endpoints.map(({ id }) => id);
  plan.comparisons.forEach((comparison, i) => {
    const at = (...path: Path): Path => ["comparisons", i, ...path];
    const arms = comparison.arms.map(({ id }) => id);
    checkOnce(arms, at("arms"), add);
    oneOf(comparison.population, populations, "populations", at("population"), add);
    const { among } = comparison;
    if (among) checkRule(among, plan, populations, at("among"), add);
    comparison.arms.forEach(({ rule }, k) =>
      checkRule(rule, plan, populations, at("arms", k, "rule"), add)
    );
    if (typeof comparison.estimand === "object") {
      oneOf(comparison.estimand.target, arms, "arms", at("estimand", "target"), add);
    }
    comparison.endpoints?.forEach((id, k) =>
      oneOf(id, endpoints, "endpoints", at("endpoints", k), add)
    );
    checkOnce(comparison.covariates?.map(({ column }) => column) ?? [], at("covariates"), add);
  });
}

function checkProgramme(plan: Plan, add: Add): void {
  const populations = plan.populations.map(({ id }) => id);
  for (const list of ["targets", "difficulties"] as const) {
    const at = (...path: Path): Path => ["programme", list, ...path];
    plan.programme[list].forEach(({ rule }, i) => {
      if (rule) checkRule(rule, plan, populations, at(i, "rule"), add);
    });
    checkOnce(plan.programme[list].map(({ id }) => id), at(), add);
  }
  checkOnce(plan.programme.dates.map(({ at }) => at), ["programme", "dates"], add);
}

function checkExpected({ endpoints, primary, precision: { expected } }: Plan, add: Add): void {
  const ids = endpoints.map(({ id }) => id);
  oneOf(primary?.endpoint, ids, "endpoints", ["primary", "endpoint"], add);
  checkOnce(expected.map(({ endpoint }) => endpoint), ["precision", "expected"], add);
  expected.forEach(({ endpoint, share, diedBefore }, i) => {
    const at: Path = ["precision", "expected", i];
    oneOf(endpoint, ids, "endpoints", [...at, "endpoint"], add);
    if (share + diedBefore < 1) return;
    add([...at, "diedBefore"], `must leave somebody without an event, got ${share + diedBefore}`);
  });
}

function checkRule(rule: Rule, plan: Plan, earlier: string[], path: Path, add: Add): void {
  const named = namedBy(rule);
  const thresholds = plan.thresholds.map(({ id }) => id);
  for (const id of named.thresholds) oneOf(id, thresholds, "thresholds", path, add);
  for (const id of named.populations) oneOf(id, earlier, "populations further up", path, add);
}

function oneOf(id: string | undefined, ids: string[], what: string, path: Path, add: Add): void {
  if (id === undefined || ids.includes(id)) return;
  add(path, `must be one of the ${what} (${ids.join(", ") || "none"}), got ${JSON.stringify(id)}`);
}

function checkRepeated(plan: Plan, add: Add): void {
  checkOnce(plan.eligibility.map(({ id }) => id), ["eligibility"], add);
  checkOnce(plan.thresholds.map(({ id }) => id), ["thresholds"], add);
  checkOnce(plan.columns.map(({ table, name }) => `${table}.${name}`), ["columns"], add);
  checkOnce(plan.populations.map(({ id }) => id), ["populations"], add);
  checkOnce(plan.comparisons.map(({ id }) => id), ["comparisons"], add);
  checkOnce(plan.endpoints.map(({ id }) => id), ["endpoints"], add);
  const { covariates, interactions } = plan.adjustment;
  checkOnce(covariates.map(({ column }) => column), ["adjustment", "covariates"], add);
  const pairs = interactions.map((pair) => pair.toSorted().join(" with "));
  checkOnce(pairs, ["adjustment", "interactions"], add);
  checkOnce(plan.planned, ["planned"], add);
  checkOnce(plan.horizons, ["horizons"], add);
}

function checkOnce(values: (string | number)[], path: Path, add: Add): void {
  const repeated = values.filter((value, i) => values.indexOf(value) !== i);
  for (const value of new Set(repeated)) {
    add(path, `each must appear once, got ${JSON.stringify(value)} again`);
  }
}
