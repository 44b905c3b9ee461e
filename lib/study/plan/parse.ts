import { z } from "zod";
import { type ProblemLine, ProblemsError } from "../problems/mod.ts";
import { type Plan, planSchema } from "./schema.ts";

/**
 * Checks a study file's content and fills in defaults.
 *
 * @param value The parsed JSON.
 * @param name The file's name, for messages.
 * @throws {ProblemsError} listing every problem with its path.
 */
export function parsePlan(value: unknown, name = "study file"): Plan {
  const result = planSchema.safeParse(value);
  if (result.success) return result.data;
  throw new ProblemsError(`open ${name}`, result.error.issues.map(problemOf));
}

/** The study file's JSON Schema, published as `data-demo/study.schema.json`. */
export function studyJsonSchema(): Record<string, unknown> {
  return { title: "Study file", ...z.toJSONSchema(planSchema, { io: "input" }) };
}

function problemOf(issue: z.core.$ZodIssue): ProblemLine {
  const closest = closestIssue(issue);
  let where = "";
  for (const key of closest.path) {
    where += typeof key === "number" ? `[${key}]` : where ? `.${String(key)}` : String(key);
  }
  return { where: where || "(whole file)", what: closest.message };
}

/** Of the ways in which a value could have been right, the one that it comes closest to. */
function closestIssue(issue: z.core.$ZodIssue): Pick<z.core.$ZodIssue, "path" | "message"> {
  if (issue.code !== "invalid_union") return issue;
  const depth = (issues: z.core.$ZodIssue[]) =>
    Math.max(0, ...issues.map(({ path }) => path.length)) - 0.01 * issues.length;
  let best: z.core.$ZodIssue[] = [];
  for (const issues of issue.errors) {
    if (best.length === 0 || depth(issues) > depth(best)) best = issues;
  }
  const first = best[0];
  if (!first) return issue;
  const inner = closestIssue(first);
  return { path: [...issue.path, ...inner.path], message: inner.message };
}
