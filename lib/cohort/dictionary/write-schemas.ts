/**
 * Publishes the JSON Schemas of the study file and of a cohort's tables, so that an editor
 * completes and checks them: `deno task schemas`.
 *
 * @module
 */
import { cohortJsonSchema } from "./schema.ts";
import { completedStudySchema } from "./study-schema.ts";

if (import.meta.main) {
  const schemas = {
    "study.schema.json": completedStudySchema(),
    "cohort.schema.json": cohortJsonSchema(),
  };
  for (const [name, schema] of Object.entries(schemas)) {
    const target = new URL(`../../../data-demo/${name}`, import.meta.url);
    Deno.writeTextFileSync(target, JSON.stringify(schema, null, 2) + "\n");
  }
}
