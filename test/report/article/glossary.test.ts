import { doesNotMatch } from "node:assert/strict";
import { glossary } from "../../../lib/report/article/glossary.ts";

Deno.test("the glossary is the same whatever the plan: it names no estimand and no confidence level", () => {
  for (const [term, meaning] of glossary) {
    doesNotMatch(meaning, /could have had|overlap|everyone|\b\d+ ?%|intended|completed/i, term);
  }
});
