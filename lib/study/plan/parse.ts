import { z } from "zod";
import { isOneOff } from "../../numerics/mod.ts";
import { type ProblemLine, ProblemsError } from "../problems/mod.ts";
import { type Plan, planSchema } from "./schema.ts";

// a study file is read once or twice in a process: faster code for it takes longer than it saves
z.config({ jitless: true });

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
  throw new ProblemsError(`open ${name}`, result.error.issues.flatMap(problemsOf));
}

/** The study file's JSON Schema, published as `data-demo/study.schema.json`. */
export function studyJsonSchema(): Record<string, unknown> {
  return { title: "Study file", ...z.toJSONSchema(planSchema, { io: "input" }) };
}

function problemsOf(issue: z.core.$ZodIssue): ProblemLine[] {
  const closest = closestIssue(issue);
  let where = "";
  for (const key of closest.path) {
    where += typeof key === "number" ? `[${key}]` : where ? `.${String(key)}` : String(key);
  }
  if (closest.code === "unrecognized_keys" && /^Unrecognized/.test(closest.message)) {
    const names = partNames();
    return closest.keys.map((key) => {
      const meant = names.includes(key) ? undefined : names.find((name) => isOneOff(key, name));
      return {
        where: where ? `${where}.${key}` : key,
        what: `is no part of the study file${meant ? `; is "${meant}" meant?` : ""}`,
      };
    });
  }
  const what = closest.code === "invalid_value" && /^Invalid/.test(closest.message)
    ? `must be ${closest.values.length > 1 ? "one of " : ""}${
      closest.values.map((value) => JSON.stringify(value)).join(", ")
    }`
    : closest.message;
  return [{ where: where || "(whole file)", what }];
}

/** Names of every part that a study file may have. */
function partNames(): string[] {
  const found = new Set<string>();
  const walk = (schema: unknown) => {
    if (typeof schema !== "object" || schema === null) return;
    for (const [key, value] of Object.entries(schema)) {
      if (key === "properties") { for (const name of Object.keys(value)) found.add(name); }
      walk(value);
    }
  };
  walk(studyJsonSchema());
  return [...found];
}

/** Of the ways in which a value could have been right, the one that it comes closest to. */
function closestIssue(issue: z.core.$ZodIssue): z.core.$ZodIssue {
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
  return { ...inner, path: [...issue.path, ...inner.path] };
}
