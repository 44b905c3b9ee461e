/**
 * Publishes the JSON Schemas of the study file and of a cohort's tables, so that an editor completes
 * and checks them: `deno task schemas`.
 *
 * @module
 */
import { studyJsonSchema } from "../../study/plan/mod.ts";
import { cohortJsonSchema } from "./schema.ts";

if (import.meta.main) {
  const schemas = {
    "study.schema.json": studyJsonSchema(),
    "cohort.schema.json": cohortJsonSchema(),
  };
  for (const [name, schema] of Object.entries(schemas)) {
    const target = new URL(`../../../data-demo/${name}`, import.meta.url);
    Deno.writeTextFileSync(target, JSON.stringify(schema, null, 2) + "\n");
  }
}
