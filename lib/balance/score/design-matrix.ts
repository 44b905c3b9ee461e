import type { Analysis } from "../../cohort/model/mod.ts";
import { DataError } from "../../numerics/mod.ts";
import { splineBasis } from "../../regression/models/mod.ts";
import type { PlannedCovariate } from "../../study/plan/mod.ts";
import type { Study } from "../../study/file/mod.ts";
import { type StudyCovariate, studyCovariate } from "./study-covariate.ts";

/** Missing values of one covariate and what was done about them. */
export interface Imputed {
  /** Name of the column. */
  column: string;
  /** Name as readers see it. */
  label: string;
  /** Patients to whom the column applies and who have no value. */
  count: number;
  /** What they were given, in the column's unit; null for categories, where missing is a level. */
  value: number | null;
  /** Whether a column of its own marks them. */
  indicator: boolean;
}

/** Covariates of a regression, from the study's plan. */
export interface DesignMatrix {
  /** Numeric, finite, one value a patient. */
  covariates: Record<string, Float64Array>;
  /** For each covariate the column of the cohort it came from, or the two joined by "with". */
  columns: Record<string, string>;
  /** Columns in which values were filled in. */
  imputed: Imputed[];
  /** What a reader should know of choices made here. */
  notes: string[];
}

/**
 * The regression columns that the study's adjustment covariates ask for.
 *
 * - linear: the column itself; spline: a restricted cubic basis at the planned knots; category:
 *   a 0/1 column for each level but the reference (the commonest, if the plan names none or one
 *   that no eligible patient has; the second is noted). A column known for nobody is left out, and
 *   a note says so.
 * - A missing number takes the mean of those known, and a 0/1 column marks it; a missing category
 *   is a level of its own. As "imputed" nothing marks it, and a missing category takes the
 *   commonest level: that pretends to know, so a note says how many. Where those missing are all in
 *   one group the mark would tell the groups apart by itself, so it is left out and a note says so.
 * - A column that applies to some only is 0 for the others. Their difference is carried by the
 *   column the condition depends on, where the plan has it as a category; else a 0/1
 *   column is added.
 * - An interaction of two columns: the product of every column of the one with every column of the
 *   other, marks of missing values aside. With missing values filled in before, a product is that
 *   of the values given. A product that is 0 for everybody is left out, and a note says so.
 *
 * @throws {DataError} on a column that was not known before the operation, on a form that does not
 * suit it, and on missing values the plan does not allow.
 * @see Groenwold et al. (2012) CMAJ 184:1265-1269 for missing indicators and their limits.
 */
export function designMatrix(analysis: Analysis, study: Study): DesignMatrix {
  const design: DesignMatrix = { covariates: {}, columns: {}, imputed: [], notes: [] };
  const { covariates: planned, interactions } = study.adjustment;
  const marks = new Set<string>();
  for (const plan of planned) {
    const covariate = studyCovariate(analysis, plan.column);
    const add: Add = (name, values, use = "value") => {
      design.covariates[name] = values;
      design.columns[name] = plan.column;
      if (use === "mark") marks.add(name);
    };
    if (plan.form === "category") addLevels(plan, covariate, analysis, design, add);
    else addNumber(plan, covariate, analysis, design, add);
    if (covariate.condition !== null && !conditionPlanned(planned, covariate)) {
      add(`${plan.column}: applies`, Float64Array.from(covariate.applies), "mark");
    }
  }
  const valuesOf = (column: string) =>
    Object.keys(design.covariates).filter((name) =>
      design.columns[name] === column && !marks.has(name)
    );
  const pairs = interactions.map(([one, other]) => [valuesOf(one), valuesOf(other)] as const);
  for (const [ones, others] of pairs) {
    for (const one of ones) for (const other of others) addProduct(design, one, other);
  }
  return design;
}

/** A column of the model; a mark says of whom another column speaks, and enters no product. */
type Add = (name: string, values: Float64Array, use?: "value" | "mark") => void;

function addProduct(design: DesignMatrix, one: string, other: string): void {
  const factor = design.covariates[other]!;
  const product = design.covariates[one]!.map((value, i) => value * factor[i]!);
  if (product.every((value) => value === 0)) {
    design.notes.push(`${one} with ${other}: nobody has both, so their product is left out.`);
    return;
  }
  const name = `${one} with ${other}`;
  design.covariates[name] = product;
  design.columns[name] = `${design.columns[one]} with ${design.columns[other]}`;
}

function addNumber(
  plan: Extract<PlannedCovariate, { form: "linear" | "spline" }>,
  covariate: StudyCovariate,
  analysis: Analysis,
  design: DesignMatrix,
  add: Add,
): void {
  const { column } = plan;
  if (covariate.kind === "category") {
    throw new DataError(`adjustment.covariates.${column}`, 'of form "category"', plan.form);
  }
  const { present, applies, values } = covariate;
  let known = 0;
  let sum = 0;
  values.forEach((value, i) => {
    if (present[i]) {
      known++;
      sum += value;
    }
  });
  if (known === 0) {
    leaveOut(covariate, design);
    return;
  }
  const mean = sum / known;
  const filled = values.map((value, i) => present[i] ? value : mean);
  if (plan.form === "linear") add(column, masked(filled, applies));
  else {
    splineBasis(filled, plan.knots).forEach((basis, j) =>
      add(j === 0 ? column : `${column} (bend ${j})`, masked(basis, applies))
    );
  }
  sayImputed(plan, covariate, mean, analysis, design, add);
}

function addLevels(
  plan: Extract<PlannedCovariate, { form: "category" }>,
  covariate: StudyCovariate,
  analysis: Analysis,
  design: DesignMatrix,
  add: Add,
): void {
  const { column } = plan;
  const { present, values } = covariate;
  const code = covariate.kind === "category"
    ? (i: number) => covariate.levels[values[i]!]!.code
    : (i: number) => String(values[i]);
  const counts = new Map<string, number>();
  for (let i = 0; i < values.length; i++) {
    if (present[i]) counts.set(code(i), (counts.get(code(i)) ?? 0) + 1);
  }
  const order = covariate.kind === "category"
    ? covariate.levels.map((level) => level.code).filter((level) => counts.has(level))
    : [...counts.keys()].sort((a, b) => Number(a) - Number(b));
  const commonest = order.reduce<string | undefined>(
    (best, level) => best === undefined || counts.get(level)! > counts.get(best)! ? level : best,
    undefined,
  );
  if (commonest === undefined) {
    leaveOut(covariate, design);
    return;
  }
  const planned = plan.reference === undefined || counts.has(plan.reference);
  const reference = planned ? plan.reference ?? commonest : commonest;
  if (!planned) {
    design.notes.push(
      `${covariate.label}: no eligible patient has the planned reference “${plan.reference}”, so ` +
        `others are compared with the commonest, “${commonest}”.`,
    );
  }
  const filledIn = plan.missing === "imputed";
  for (const level of order) {
    if (level === reference) continue;
    const is = new Float64Array(values.length);
    for (let i = 0; i < is.length; i++) {
      const has = present[i]
        ? code(i) === level
        : filledIn && covariate.applies[i] === 1 && level === commonest;
      if (has) is[i] = 1;
    }
    add(`${column}: ${level}`, is);
  }
  sayImputed(plan, covariate, null, analysis, design, add);
}

/** A covariate that nobody here has a value of cannot make groups alike. */
function leaveOut({ label }: StudyCovariate, design: DesignMatrix): void {
  design.notes.push(`${label}: known for no eligible patient, so it is left out of the model.`);
}

function masked(values: Float64Array, applies: Uint8Array): Float64Array {
  return values.map((value, i) => applies[i] ? value : 0);
}

/** Notes what stands in the place of missing values, and marks them where the plan wants it. */
function sayImputed(
  plan: PlannedCovariate,
  covariate: StudyCovariate,
  value: number | null,
  analysis: Analysis,
  design: DesignMatrix,
  add: Add,
): void {
  const { mark, count, first } = missingMark(covariate);
  if (count === 0) return;
  refuseMissing(plan, first);
  const indicator = plan.missing === "imputed"
    ? leaveUnmarked(covariate, count, design)
    : markMissing(covariate, mark, analysis, design, add);
  design.imputed.push({ column: plan.column, label: covariate.label, count, value, indicator });
}

function missingMark({ applies, present }: StudyCovariate) {
  let count = 0;
  let first = -1;
  const mark = new Float64Array(applies.length);
  for (let i = 0; i < mark.length; i++) {
    if (applies[i] !== 1 || present[i] !== 0) continue;
    if (count++ === 0) first = i;
    mark[i] = 1;
  }
  return { mark, count, first };
}

/** The cell is named by its place, never by who it is. */
function refuseMissing(plan: PlannedCovariate, first: number): void {
  if (plan.missing === "stop") {
    throw new DataError(plan.column, "known for everybody (the plan says so)", undefined, first);
  }
}

/** Says how many were given a value that nothing in the model marks. */
function leaveUnmarked({ label }: StudyCovariate, count: number, design: DesignMatrix): false {
  const plural = count === 1 ? "1 missing value was" : `${count} missing values were`;
  design.notes.push(`${label}: ${plural} filled in, and no column of the model marks them.`);
  return false;
}

function markMissing(
  { column, label }: StudyCovariate,
  mark: Float64Array,
  analysis: Analysis,
  design: DesignMatrix,
  add: Add,
): boolean {
  let ofTreated = 0;
  let ofControls = 0;
  mark.forEach((missing, i) => {
    if (missing && analysis.treated[i]) ofTreated++;
    else if (missing) ofControls++;
  });
  if (ofTreated === 0 || ofControls === 0) {
    design.notes.push(
      `${label}: those missing are all in one group, so no column of the model marks them.`,
    );
    return false;
  }
  add(`${column}: missing`, mark, "mark");
  return true;
}

function conditionPlanned(
  planned: readonly PlannedCovariate[],
  covariate: StudyCovariate,
): boolean {
  return planned.some((other) => other.form === "category" && other.column === covariate.dependsOn);
}
