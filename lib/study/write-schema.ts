/**
 * Publishes the study file's JSON Schema, so that an editor completes and checks a study file:
 *
 *     deno run --allow-write=data-demo lib/study/write-schema.ts
 *
 * @module
 */
import { studyJsonSchema } from "./schema.ts";

if (import.meta.main) {
  const target = new URL("../../data-demo/study.schema.json", import.meta.url);
  Deno.writeTextFileSync(target, JSON.stringify(studyJsonSchema(), null, 2) + "\n");
}
